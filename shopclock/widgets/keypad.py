"""The number pad."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from shopclock.widgets.button_face import ButtonState
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from shopclock.widgets.look import Look

DIGIT_BOUNCE_MS = 150
"""Shorter than elsewhere: 11 is typed with one key, and what is typed is seen before it counts."""

ROWS = (("7", "8", "9", "back"), ("4", "5", "6", "clear"), ("1", "2", "3", "/"), (".", "0", "-", ""))
LONGEST = 12


class Keypad(QWidget):
    """Digits, point, slash and minus; `changed` carries the whole value after each key."""

    changed = Signal(str)
    entered = Signal()

    def __init__(self, look: Look, signs: str = "./-", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._signs = signs
        self._value = ""
        self._fresh = False
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(look.sizes.gap)
        for row, keys in enumerate(ROWS):
            for column, key in enumerate(keys):
                self._add(key, row, column)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    @property
    def value(self) -> str:
        """What has been typed."""
        return self._value

    def set_value(self, value: str) -> None:
        """Start from this value; the first digit replaces it."""
        self._value = value
        self._fresh = bool(value)
        self.changed.emit(value)

    def press(self, key: str) -> None:
        """Do what a key does: a sign of its own, "back" or "clear"."""
        fresh, self._fresh = self._fresh, False
        before = "" if fresh and key.isdigit() else self._value
        if key == "clear":
            before = ""
        elif key == "back":
            before = before[:-1]
        elif len(before) < LONGEST:
            before += key
        self._value = before
        self.changed.emit(before)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The same from a keyboard."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
        elif event.key() == Qt.Key.Key_Backspace:
            self.press("back")
        elif event.text() and event.text() in "0123456789" + self._signs:
            self.press(event.text())
        else:
            super().keyPressEvent(event)

    def _add(self, key: str, row: int, column: int) -> None:
        if not key or (not key.isalnum() and key not in self._signs):
            return
        title = {"back": "Delete", "clear": "Clear"}.get(key, key)
        button = PressButton(self._look, ButtonState(title, role="raised"), bounce_ms=DIGIT_BOUNCE_MS)
        button.set_least(0.75)
        button.pressed_at.connect(partial(self._pressed, key))
        self._grid.addWidget(button, row, column)

    def _pressed(self, key: str, _came_down: object) -> None:
        self.press(key)
