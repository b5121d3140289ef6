"""Keys and pedals of a window: each does what its button at the Bench does, whatever screen is in sight."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QElapsedTimer, QObject, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QApplication, QLineEdit

from shopclock.shop.state.keys import ELSEWHERE, action_of
from shopclock.widgets.style import CHATTER_MS

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.bench.at_bench import AtBench
    from shopclock.views.button import Now
    from shopclock.widgets.style import Style


class Pedals(QObject):
    """Listens in a window for the keys of the record.

    A held key does not repeat, and a second press of the same key within the time of a bounce is none: a pedal that
    chatters counts once, however long it does. Where a text is typed a key is a letter of it. `elsewhere` carries the
    action of a key that is for no button of the Bench.
    """

    elsewhere = Signal(str)

    def __init__(self, window: QWidget, look: Style, presenter: AtBench, now: Now) -> None:
        super().__init__(window)
        self._window = window
        self._look = look
        self._presenter = presenter
        self._now = now
        self._shortcuts: dict[str, QShortcut] = {}
        self._pressed: dict[str, QElapsedTimer] = {}

    def refresh(self) -> None:
        """Listen for the keys that the record has now."""
        names = self._presenter.keys
        if names == tuple(self._shortcuts):
            return
        for old in self._shortcuts.values():
            old.setEnabled(False)
            old.deleteLater()
        self._shortcuts = {name: QShortcut(QKeySequence(name), self._window) for name in names}
        for name, shortcut in self._shortcuts.items():
            shortcut.setAutoRepeat(False)
            shortcut.activated.connect(partial(self._press, name))

    def _press(self, name: str) -> None:
        if isinstance(QApplication.focusWidget(), QLineEdit) or self._bounces(name):
            return
        action = action_of(self._presenter.floor, name)
        if action in ELSEWHERE:
            self.elsewhere.emit(action)
        elif why_not := self._presenter.key(name, self._now()):
            self._look.unable.emit(why_not)

    def _bounces(self, name: str) -> bool:
        """Tell whether this comes too soon after the last press of the same key, taken or not."""
        last = self._pressed.setdefault(name, QElapsedTimer())
        bounces = last.isValid() and last.elapsed() < self._look.bounce_ms
        if bounces and last.elapsed() >= CHATTER_MS:
            self._look.bounced.emit()
        last.start()
        return bounces
