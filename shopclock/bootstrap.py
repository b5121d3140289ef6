"""The door of a checkout: is .venv as pyproject.toml asks, and are we in it? If not, first_run.py makes it.

Runs before anything is installed, so it rests on the standard library alone and parses on Python 3.8.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.dotvenv import of_another_tool, python_of, ready

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import NoReturn


def enter(module: str, arguments: Sequence[str], *, extra: str = "") -> None:
    """Come back once this process has the packages it needs; else set .venv up and start `module` in there.

    An installed wheel comes straight back, and so does a virtual environment of one's own that holds the packages.
    """
    top = checkout()
    if top is None:
        return
    inside = os.path.realpath(sys.prefix) == os.path.realpath(str(top / ".venv"))
    if not inside and _served(top, extra):
        return
    if of_another_tool(top):
        from shopclock import others_venv

        if not inside:
            others_venv.refuse_unless_it_runs(top)
        elif others_venv.serves(top, extra):
            return
    elif not ready(top, extra):
        from shopclock import first_run

        first_run.set_up(top, extra)
    elif inside:
        return
    _go_on(python_of(top), module, arguments)


def checkout() -> Path | None:
    """Tell the folder of the checkout this package lies in; None when it was installed."""
    top = Path(__file__).resolve().parent.parent
    return top if (top / "pyproject.toml").is_file() else None


def _served(top: Path, extra: str) -> bool:
    """True if this is a virtual environment of somebody's own in which the packages are there already."""
    if sys.prefix == sys.base_prefix:
        return False
    from shopclock import others_venv

    return not others_venv.lacks(top, extra)


def _go_on(python: Path, module: str, arguments: Sequence[str]) -> NoReturn:
    """Start again inside .venv; where a process can't be replaced (Windows), wait for the new one."""
    command = [str(python), "-m", module, *arguments]
    os.environ.pop("PYTHONHOME", None)
    sys.stderr.flush()
    if os.name != "nt":
        os.execv(command[0], command)  # noqa: S606 - the path is our own .venv
    from subprocess import call

    sys.exit(call(command))
