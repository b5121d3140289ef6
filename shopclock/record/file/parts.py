"""Unfinished files: hidden, beside their place, held as long as somebody writes them, gone once nobody does."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from shopclock.record.file.held import hold, let_go
from shopclock.shop.values.clock import US, SystemClock

PART = ".part"
TAILS = ("", "-journal", "-wal", "-shm")
"""A file and what SQLite keeps beside it."""
LEFT_S = 3600
"""Where a disk can't tell whether somebody writes a file, nobody does so long after the last change."""
_NAME = 60
"""Letters of a place's name in that of its unfinished file."""


@contextmanager
def part_of(target: Path) -> Iterator[Path]:
    """Give an empty file beside a place, for its owner alone; gone at the end unless it was renamed. OSError."""
    number, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.stem[:_NAME]}-", suffix=PART)
    part = Path(name)
    try:
        with suppress(OSError):  # a disk that knows no such thing: age tells there
            hold(number)
        yield part
    finally:
        let_go(number)
        remove_with_tails(part)


def remove_with_tails(path: Path, *, of_it: bool = True) -> None:
    """Remove a file and what SQLite left beside it, or that alone, as far as the disk lets it."""
    for tail in TAILS if of_it else TAILS[1:]:
        with suppress(OSError):
            path.with_name(f"{path.name}{tail}").unlink(missing_ok=True)


def clear_parts(folder: Path, stem: str = "") -> None:
    """Remove the unfinished files in a folder that nobody writes any more, of one place or of all."""
    with suppress(OSError):
        for path in folder.glob(f".{_plain(stem[:_NAME])}*{PART}"):
            if is_nobodys(path):
                remove_with_tails(path)
        for path in folder.glob(f".{_plain(stem[:_NAME])}*{PART}-*"):  # what SQLite left of one that is gone
            if not path.with_name(path.name.rpartition("-")[0]).exists():
                path.unlink(missing_ok=True)


def _plain(name: str) -> str:
    return "".join(f"[{letter}]" if letter in "*?[" else letter for letter in name)


def is_nobodys(path: Path) -> bool:
    """Tell whether no program holds a file; one that has ended holds nothing."""
    number = os.open(path, os.O_RDWR)
    try:
        return hold(number)
    except OSError:
        return SystemClock().moment().wall_us // US - os.fstat(number).st_mtime > LEFT_S
    finally:
        os.close(number)
