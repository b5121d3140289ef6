"""A hand that walks through the real window: it presses by words, lets time pass and draws what it sees."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from shopclock import app
from shopclock.record.record import Record
from shopclock.screens.background import AtOnce
from shopclock.screens.window import make_window
from shopclock.shop import settings
from shopclock.shop.errors import ShopError
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.shop.turn import Turn
    from shopclock.tour.window import StoppedClock, Window


def application() -> QApplication:
    """The one Qt application there can be."""
    running = QApplication.instance()
    return running if isinstance(running, QApplication) else QApplication(["shopclock"])


class Hand:
    """One window on a copy of a record, and a finger."""

    def __init__(self, folder: Path, record: Path, window: Window, clock: StoppedClock) -> None:
        self.drawn = 0
        self._folder = folder
        self._window = window
        self._clock = clock
        self._application = application()
        self._frame, self._look = make_window(self._application, app.TABS)
        self._look.bounce_ms = 0
        self._look.set_sizes(replace(self._look.sizes, px_mm=window.px_mm))
        self._record = Record.open(record, clock)
        self._settle_look()
        self._shell = app.build(self._frame, self._look, self._record, self._frame.dialogs, AtOnce())
        self._frame.resize(window.width, window.height)
        self._frame.show()
        self._shell.start("bench")
        self._shell.stop()

    def _settle_look(self) -> None:
        """Keep theme, button size and ruler in this copy of the record."""
        window, name = self._window, settings.RULER + self._frame.screen().name()

        def settle(turn: Turn) -> None:
            settings.set_value(turn, settings.THEME, window.theme)
            settings.set_value(turn, settings.SIZE, window.size)
            settings.store(turn, name, str(window.px_mm))

        self._record.press("Look", settle, undoable=False)

    def open(self, tab: str) -> None:
        """Bring a screen in sight."""
        self._shell.show_screen(tab)
        self._see()

    def press(self, words: str) -> None:
        """Press the button in sight that says this, or begins with it."""
        found = self._find(words)
        QTest.mouseClick(found, Qt.MouseButton.LeftButton)
        self._see()

    def touch(self, _where: str) -> None:
        """Touch the window "in the middle", where there may be no button."""
        middle = self._frame.rect().center()
        QTest.mouseClick(self._frame.childAt(middle) or self._frame, Qt.MouseButton.LeftButton)
        self._see()

    def type(self, text: str) -> None:
        """Type a name into the field in sight and enter it."""
        for field in self._frame.findChildren(QLineEdit):
            if field.isVisible():
                field.setText(text)
                QTest.keyClick(field, Qt.Key.Key_Return)
        self._see()

    def wait(self, minutes: str) -> None:
        """Let time pass."""
        self._clock.go_on(float(minutes))
        self._shell.refresh()
        self._shell.tick()
        self._see()

    def draw(self, name: str) -> None:
        """Draw the window to a picture."""
        self._see()
        path = self._folder / f"{name}-{self._window.name}.png"
        if not self._frame.grab().save(str(path)):
            raise ShopError(f"{path} can't be written. {self.drawn} pictures were drawn before it.")
        self.drawn += 1

    def close(self) -> None:
        """Leave the window and the record."""
        self._shell.stop()
        self._frame.close()
        self._frame.deleteLater()
        self._application.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        self._record.close()

    def _find(self, words: str) -> PressButton:
        buttons = list(self._buttons())
        for fits in (str.__eq__, str.startswith):
            for button in buttons:
                if fits(button.state.title, words):
                    return button
        raise ShopError(f"No button says {words}; there are {', '.join(b.state.title for b in buttons)}.")

    def _buttons(self) -> Iterator[PressButton]:
        """Yield what a finger can reach: what is enabled and not covered."""
        for button in self._frame.findChildren(PressButton):
            if button.isVisible() and button.isEnabled():
                middle = button.mapTo(self._frame, button.rect().center())
                if self._frame.childAt(middle) is button:
                    yield button

    def _see(self) -> None:
        """Let the window settle."""
        for _ in range(3):
            self._application.processEvents()
