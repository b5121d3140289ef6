"""The .venv of a checkout, wanted and found: cheap enough to be asked at every start.

Runs before anything is installed, so it rests on the standard library alone and parses on Python 3.8.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

OLDEST = (3, 11)
BEGUN = "begun"
"""Mark of an environment that is being made: one that was killed is begun again."""


def ready(top: Path, extra: str) -> bool:
    """True if .venv holds what pyproject.toml asks for, set up to the end, by the Python it has now."""
    mark, had = stamp(top)
    return mark == wanted(top) and extra in ("", had) and python_of(top).exists()


def of_another_tool(top: Path) -> bool:
    """True if there is a .venv, with something in it, that no set-up of ours has made: it is never changed."""
    found = top / ".venv"
    if stamp_file(top).exists():
        return False
    if found.is_dir():
        return any(True for _ in found.iterdir())
    return os.path.lexists(str(found))


def stamp_file(top: Path) -> Path:
    """File in which the last set-up says what it did; an environment without it is somebody else's."""
    return top / ".venv" / "shopclock-ready.txt"


def stamp(top: Path) -> tuple[str, str]:
    """Mark that the last set-up left behind, and the extra it installed. Both empty if there was none."""
    try:
        mark, _, extra = stamp_file(top).read_text("utf-8").partition("\n")
    except OSError:
        return "", ""
    return mark, extra


def wanted(top: Path) -> str:
    """The mark of a set-up that fits: what is to be installed, where, and for which Python."""
    from hashlib import sha256

    asked = (top / "pyproject.toml").read_text("utf-8").partition("\n[tool.")[0]
    return sha256("\n".join((asked, str(top), os.path.realpath(python_of(top)))).encode()).hexdigest()


def python_of(top: Path) -> Path:
    """The Python of the checkout's .venv, whether it is there or not."""
    return top / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
