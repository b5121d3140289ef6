"""Places of the files that the program reads and nobody imports, what a record is called, how a helper is started."""

from __future__ import annotations

from pathlib import Path

RECORD_BY_NAME = "SHOPCLOCK_RECORD"
"""Variable of the environment that names the record, for the window and the commands."""

COMPLETES = "_SHOPCLOCK_COMPLETE"
"""Variable of the environment by which a shell asks what a word may go on to."""

READS_WORKBOOK = "--read-workbook"
"""First word by which the packaged program is the reader of workbooks: `resources/packaging/start.py`."""

_PACKAGE = Path(__file__).resolve().parent


def resource(*parts: str) -> Path:
    """Place of a resource: routes, theme, icons, sounds, packaging."""
    return _base() / "resources" / Path(*parts)


def shared(*parts: str) -> Path:
    """Place of a published table that program and tests both read."""
    return _base() / "shared" / Path(*parts)


def is_record_name(word: str) -> bool:
    """True for what a double click on a record hands over: a path that no command and no option is called."""
    return word.endswith(".shopclock") and not word.startswith("-")


def _base() -> Path:
    """Beside the package in a checkout; inside it in an installed wheel."""
    packed = _PACKAGE / "_data"
    return packed if packed.is_dir() else _PACKAGE.parent
