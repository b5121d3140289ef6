"""python -m shopclock, and the command `shopclock` of an installed wheel: the window, or a command without one."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from shopclock import bootstrap
from shopclock.places import COMPLETES, is_record_name

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

NO_SCREEN = "There is no screen here to open a window on; `shopclock tour FOLDER` draws the screens into a folder."


def main(arguments: Sequence[str] | None = None) -> int:
    """Open the window or run the command that `arguments` name; the exit code."""
    given = sys.argv[1:] if arguments is None else list(arguments)
    bootstrap.enter("shopclock", given)
    if COMPLETES in os.environ or not wants_window(given):
        from shopclock.commands import main

        return main.main(given)
    if screenless(sys.platform, os.environ):
        print(NO_SCREEN, file=sys.stderr)
        return 1
    try:
        from shopclock import app

        return app.main(given)
    except ImportError as error:
        from shopclock.first_run import library_missed

        if not (said := library_missed(error)):
            raise
        print(said, file=sys.stderr)
        return 1


def wants_window(arguments: Sequence[str]) -> bool:
    """True if there is nothing, one record by name, or one of the window's own options: no command word, no mistake."""
    rest, options = iter(arguments), 0
    for word in rest:
        if word == "--record":
            if next(rest, None) is None:
                return False
        elif word != "--demo" and not word.startswith("--record=") and not is_record_name(word):
            return False
        options += 1
    return options <= 1


def screenless(platform: str, environment: Mapping[str, str]) -> bool:
    """True if a window would have nowhere to go: on Linux, neither X11 nor Wayland nor a platform asked for."""
    names = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    return platform.startswith("linux") and not any(environment.get(name) for name in names)


if __name__ == "__main__":
    sys.exit(main())
