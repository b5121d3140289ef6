"""The one place where everything is put together: `build` from parts that are given, `main` from the machine's."""

from __future__ import annotations

import logging
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.places import resource
from shopclock.screens.opening import Opening
from shopclock.screens.shell import Shell
from shopclock.shop.clock import SystemClock
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.look import Look
from shopclock.widgets.metrics import Sizes, px_per_mm
from shopclock.widgets.theme import read_theme

if TYPE_CHECKING:
    from collections.abc import Sequence
    from types import TracebackType

    from PySide6.QtGui import QScreen

    from shopclock.record.record import Record
    from shopclock.screens.background import Work
    from shopclock.widgets.dialogs import Dialogs

TABS = (("bench", "Bench"), ("batches", "Batches"), ("trends", "Trends"), ("shop", "Shop"))
FIRST_SIZE = (1280, 800)


@dataclass(frozen=True, slots=True)
class Options:
    """What the command line asks of the window."""

    record: Path | None
    demo: bool


def read_options(arguments: Sequence[str]) -> Options:
    """Read --record PATH and --demo."""
    rest, record, demo = iter(arguments), None, False
    for word in rest:
        if word == "--demo":
            demo = True
        elif word == "--record":
            record = next(rest, "")
        elif word.startswith("--record="):
            record = word.removeprefix("--record=")
    return Options(Path(record) if record is not None else None, demo)


def new_look(screen: QScreen) -> Look:
    """The look that a window starts with on a screen; the record's settings come later."""
    theme = read_theme(resource("theme.toml"), "dark")
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    return Look(theme, Sizes(*FIRST_SIZE, px_per_mm(screen.physicalDotsPerInch())), family)


def main(arguments: Sequence[str]) -> int:
    """Open the window and stay until it is closed; the exit code."""
    application = QApplication([sys.argv[0]])
    application.setApplicationName("Shopclock")
    application.setStyle("fusion")
    leave_imports_alone()
    log_what_goes_wrong()
    options = read_options(arguments)
    look = new_look(application.primaryScreen())
    frame = Frame(look, TABS)
    frame.setWindowTitle("Shopclock")
    frame.resize(*FIRST_SIZE)
    opening = Opening(frame, look, build, SystemClock())
    if not opening.choose(options.record, demo=options.demo):
        return opening.exit_code
    show_fitting(frame, application.primaryScreen())
    opening.go_on_when_painted()
    application.exec()
    opening.close()
    return opening.exit_code


def show_fitting(frame: Frame, screen: QScreen) -> None:
    """Show the window at its first size, or over the whole screen where that is no larger."""
    room = screen.availableSize()
    if room.width() <= FIRST_SIZE[0] * 1.1 or room.height() <= FIRST_SIZE[1] * 1.1:
        frame.showMaximized()
    else:
        frame.show()


def build(frame: Frame, look: Look, record: Record, dialogs: Dialogs, background: Work) -> Shell:
    """Put the program together on an open record."""
    from shopclock.screens.rooms import add_rooms

    themes = {name: read_theme(resource("theme.toml"), name) for name in ("dark", "paper")}
    shell = Shell(frame, look, record, themes)
    add_rooms(shell, look, record, dialogs, background)
    return shell


def leave_imports_alone() -> None:
    """Spare every later import the look into its source for a feature of PySide6 that nobody here uses."""
    feature = sys.modules.get("shibokensupport.feature")
    if feature is not None and hasattr(feature, "_mod_uses_pyside"):
        setattr(feature, "_mod_uses_pyside", lambda _module: False)  # noqa: B010  # private: mypy must not look for it


def log_what_goes_wrong() -> None:
    """Log a mistake of ours with its trace, and let the window go on."""

    def note(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        logging.getLogger("shopclock").critical("a mistake", exc_info=(kind, error, trace))

    sys.excepthook = note
