"""The one place where everything is put together: `build` from parts that are given, `main` from the machine's.

What the window needs is imported after `leave_imports_alone`, and what its first paint doesn't need after that.
"""

from __future__ import annotations

import gc
import os
import sys
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from shopclock.places import RECORD_BY_NAME, is_record_name

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtWidgets import QApplication

    from shopclock.record.press.record import Record
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.screens.shell.shell import Shell
    from shopclock.views.dialogs import Dialogs
    from shopclock.widgets.frame import Frame
    from shopclock.widgets.style import Style

TABS = (
    ("today", "Today"),
    ("bench", "Bench"),
    ("batches", "Batches"),
    ("review", "Review"),
    ("trends", "Trends"),
    ("plan", "Plan"),
    ("shop", "Shop"),
)

ICON_MS = 1500
"""The icon is read when the first screen has long been there."""


class StartOptions(NamedTuple):
    """Options of the window on the command line."""

    record: Path | None
    demo: bool


def read_options(arguments: Sequence[str]) -> StartOptions:
    """Read --record PATH, a record's own name, and --demo; without any, the environment's."""
    rest, record, demo = iter(arguments), None, False
    for word in rest:
        if word == "--demo":
            demo = True
        elif word == "--record":
            record = next(rest, "")
        elif word.startswith("--record="):
            record = word.removeprefix("--record=")
        elif is_record_name(word):
            record = word
    if record is None and not demo:
        record = os.environ.get(RECORD_BY_NAME) or None
    return StartOptions(Path(record) if record is not None else None, demo)


def main(arguments: Sequence[str]) -> int:
    """Open the window and stay until it is closed; the exit code."""
    gc.disable()  # hardly anything goes again that is made while the program starts; `Opening` lets it look again
    from PySide6.QtCore import QTimer

    leave_imports_alone()
    from shopclock.mistakes import Hook
    from shopclock.screens.shell.window import give_icon, make_window, show_fitting, system_habits
    from shopclock.screens.start.opening import Opening
    from shopclock.shop.values.habits import take_habits

    application = _application()
    take_habits(system_habits())
    options = read_options(arguments)
    again, left = None, None
    while True:
        frame, look = make_window(application, TABS)
        sys.excepthook = Hook(frame.dialogs.tell)
        opening = Opening(frame, look, build, again)
        record = again.record if again is not None else options.record
        if not opening.choose(record, demo=options.demo and again is None):
            return opening.exit_code
        show_fitting(frame)
        if left is not None:  # only now: with its last window closed the program would end
            left.close()
            left.deleteLater()
        opening.go_on_when_painted()
        QTimer.singleShot(ICON_MS, application, partial(give_icon, application))
        application.exec()
        opening.close()
        if opening.again is None:
            return opening.exit_code
        again, left = opening.again, frame


def _application() -> QApplication:
    """Make the application; where Qt finds no way to a screen, a sentence says so and the program ends with 1."""
    from PySide6.QtCore import QtMsgType, qInstallMessageHandler
    from PySide6.QtWidgets import QApplication

    said: list[str] = []

    def hear(kind: QtMsgType, _where: object, text: str) -> None:
        said.append(text)
        if kind is QtMsgType.QtFatalMsg:  # Qt would abort next
            sys.stderr.write(f"{no_window(chr(10).join(said))}\n")
            sys.stderr.flush()
            os._exit(1)

    qInstallMessageHandler(hear)
    made = QApplication([sys.argv[0]])
    qInstallMessageHandler(None)
    sys.stderr.write("".join(f"{text}\n" for text in said))  # as Qt itself would have
    return made


def no_window(said: str) -> str:
    """Return the sentence that tells why there is no window, by what Qt said of it."""
    if "could not connect to display" in said:
        return f"The screen {os.environ.get('DISPLAY', '')} does not answer, so no window opens. Nothing was changed."
    if "xcb" in said:
        return (
            "No window opens: a library of the system that Qt needs is missing, mostly libxcb-cursor0. On Debian and "
            "Ubuntu: apt install libxcb-cursor0. Nothing was changed."
        )
    return f"No window opens: {said.splitlines()[-1] if said else 'Qt does not say why'} Nothing was changed."


def build(frame: Frame, look: Style, record: Record, dialogs: Dialogs, background: WorkRunner) -> Shell:
    """Put the program together on an open record."""
    from shopclock.screens.shell.shell import Shell
    from shopclock.screens.shell.window import read_themes
    from shopclock.screens.start.screen_factory import ScreenFactory

    record.one_moment = background.one_moment
    shell = Shell(frame, look, record, read_themes())
    factory = ScreenFactory(shell, frame, look, record, dialogs, background)
    factory.exchange()
    factory.add_all()
    return shell


def leave_imports_alone() -> None:
    """Spare every later import the look into its source for a feature of PySide6 that nobody here uses."""
    feature = sys.modules.get("shibokensupport.feature")
    if feature is not None and hasattr(feature, "_mod_uses_pyside"):
        setattr(feature, "_mod_uses_pyside", lambda _module: False)  # noqa: B010  # private: mypy must not look for it
