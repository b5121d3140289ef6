"""A hand that walks through the real window: it presses by words, lets time pass and draws what it sees."""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from shopclock import app
from shopclock.record.press.record import Record
from shopclock.screens.bench.far_view import FarView
from shopclock.screens.long_work.background import AtOnce
from shopclock.screens.shell.window import make_window
from shopclock.shop.state import settings
from shopclock.shop.values.entities import RULER
from shopclock.shop.values.errors import ShopError
from shopclock.tour.finger import Finger

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.shop.state.transaction import Transaction
    from shopclock.tour.window import StoppedClock, Window


def application() -> QApplication:
    """The one Qt application there can be."""
    running = QApplication.instance()
    return running if isinstance(running, QApplication) else QApplication(["shopclock"])


class WindowHand(Finger):
    """One window on a copy of a record, and a finger on it."""

    def __init__(self, folder: Path, record: Path, window: Window, clock: StoppedClock, *, bounce_ms: int = 0) -> None:
        self.drawn = 0
        self._folder = folder
        self._window = window
        import_module("shopclock.widgets.chart")  # else a chart would come a moment after its page
        self.clock = clock
        self._application = application()
        frame, self._look = make_window(self._application, app.TABS)
        super().__init__(frame)
        self._look.bounce_ms = bounce_ms
        self._look.set_sizes(replace(self._look.sizes, px_mm=window.px_mm))
        self.record = Record.open(record, clock)
        self._settle_look()
        self._shell = app.build(self.frame, self._look, self.record, self.frame.dialogs, AtOnce())
        self.frame.resize(window.width, window.height)
        self.frame.show()
        self._shell.start("bench")
        self._shell.stop()
        self._shell.tick()

    def _settle_look(self) -> None:
        """Keep theme, button size and ruler in this copy of the record, where they are others."""
        screen = RULER + self.frame.screen().name()
        window = self._window
        wanted = {settings.THEME.name: window.theme, settings.SIZE.name: window.size, screen: str(window.px_mm)}

        def settle(tx: Transaction) -> None:
            for name, text in wanted.items():
                settings.store(tx, name, text)

        if any(self.record.floor.setting(name) != text for name, text in wanted.items()):
            self.record.press("Look", settle, undoable=False)

    def open(self, tab: str) -> None:
        """Bring a screen in sight."""
        self._shell.show_screen(tab)
        self.see()

    def wait(self, minutes: str) -> None:
        """Let time pass, as far as the window's own ticking shows it."""
        self.clock.go_on(float(minutes))
        self._shell.tick()
        self.see()

    def work(self, minutes: str) -> None:
        """Let time pass and come back to the screen: where it was left alone, a first touch wakes it."""
        self.wait(minutes)
        for view in self.frame.findChildren(FarView):
            if view.isVisible() and self._in_sight(view.clock):
                self.touch_at(view.clock)

    def draw(self, name: str) -> None:
        """Draw the window to a picture."""
        self.see()
        path = self._folder / f"{name}-{self._window.name}.png"
        if not self.frame.grab().save(str(path)):
            raise ShopError(f"{path} can't be written. {self.drawn} pictures were drawn before it.")
        self.drawn += 1

    def close(self) -> None:
        """Leave the window and the record."""
        self._shell.stop()
        self.frame.leave()
        self.frame.deleteLater()
        self._application.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        self.record.close()
