"""The hand of a walk at the desk: the pointer goes where a button is, the keyboard types where the focus is."""

from __future__ import annotations

import subprocess
import sys
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QDeadlineTimer, QEvent, QEventLoop, QObject, QPoint, Qt, QTimer
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QLineEdit

from shopclock import app
from shopclock.mistakes import Hook
from shopclock.screens.shell.window import make_window, show_fitting
from shopclock.screens.start.opening import Opening
from shopclock.shop.values.errors import ShopError
from shopclock.tour.finger import Finger
from shopclock.widgets.style import BOUNCE_MS

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtWidgets import QWidget

LOOK_MS = 20


class Arrived(QObject):
    """Counts the presses and keys that came from the display, once each has been let go."""

    def __init__(self) -> None:
        super().__init__()
        self.presses = self.returns = 0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Count at the window, before any widget has its part."""
        if event.spontaneous() and watched.isWindowType():
            self.presses += event.type() == QEvent.Type.MouseButtonRelease
            self.returns += isinstance(event, QKeyEvent) and (event.type(), event.key()) == (
                QEvent.Type.KeyRelease,
                Qt.Key.Key_Return,
            )
        return False


class DeskHand(Finger):
    """A hand at the program's window; presses no faster than the guard against bounces lets."""

    def __init__(self, record: Path | None, patience_s: float) -> None:
        self._patience_ms = round(1000 * patience_s)
        self._arrived = Arrived()
        application = QApplication(["shopclock"])
        application.installEventFilter(self._arrived)
        frame, look = make_window(application, app.TABS)
        super().__init__(frame)
        sys.excepthook = Hook(frame.dialogs.tell)
        self._opening = Opening(frame, look, app.build)
        assert self._opening.choose(record, demo=record is None)
        show_fitting(frame)
        self._opening.go_on_when_painted()
        try:
            self._until(frame.isActiveWindow, "The window never came to the front.")
        except ShopError:
            self.close()
            raise

    def press(self, words: str) -> None:
        """Move the pointer to the button that says this, once there is one, and click."""
        self.see()
        self._until(lambda: self._says(words) is not None, f"No button says {words}.")
        self._until(partial(self._lies_still, words, []), f"The button {words} never lies still.")
        self._click(self._find(words))

    def seek(self, words: str) -> None:
        """Press the button that says this, turning pages until it is in sight."""
        self.see()
        while not self._says(words) and self._says("More"):
            self.press("More")
        self.press(words)

    def type(self, text: str) -> None:
        """Type where the keyboard is, and enter it."""
        self._until(lambda: isinstance(self.frame.focusWidget(), QLineEdit), "Nothing takes what is typed.")
        before = self._arrived.returns
        self._xdotool("type", "--delay", "30", text)
        self._xdotool("key", "Return")
        self._until(lambda: self._arrived.returns > before, "The Enter key never came.")
        self.see()

    def read_on(self, words: str) -> None:
        """Wait until a sentence in sight holds these words."""
        self._until(lambda: any(words in said for said in (*self.read, *self.reach)), f"Nothing says {words}.")

    def no_focus(self, _words: str = "") -> None:
        """Nothing holds the keyboard, as it happens where the window came up before there was a button in it."""
        holding = self.frame.focusWidget()
        if holding is not None:
            holding.clearFocus()

    def see(self) -> None:
        """Let the window go on for as long as a hand stays off it."""
        loop = QEventLoop()
        QTimer.singleShot(BOUNCE_MS + 50, loop.quit)
        loop.exec()

    def close(self) -> None:
        """Leave as the program does."""
        sys.excepthook = sys.__excepthook__
        self.frame.close()
        self._opening.close()

    def _lies_still(self, words: str, last: list[QPoint]) -> bool:
        """Tell whether the button is where it was at the last look: one that has just come is not laid out yet."""
        last.append(_middle(self._find(words)) if self._says(words) else QPoint())
        return len(last) > 1 and last[-2] == last[-1]

    def _click(self, button: QWidget) -> None:
        before, at = self._arrived.presses, _middle(button)
        self._xdotool("mousemove", str(at.x()), str(at.y()), "click", "1")
        self._until(lambda: self._arrived.presses > before, "The press never came.")
        self.see()

    def _until(self, met: Callable[[], bool], otherwise: str) -> None:
        given_up = QDeadlineTimer(self._patience_ms)
        while not met():
            if given_up.hasExpired():
                raise ShopError(f"{otherwise} In sight: {'; '.join((*self.read, *self.reach))}")
            loop = QEventLoop()
            QTimer.singleShot(LOOK_MS, loop.quit)
            loop.exec()

    @staticmethod
    def _xdotool(*words: str) -> None:
        subprocess.run(["xdotool", *words], check=True)


def _middle(button: QWidget) -> QPoint:
    """Return the middle of a button on the display."""
    return button.mapToGlobal(QPoint(button.width() // 2, button.height() // 2))
