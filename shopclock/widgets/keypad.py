"""The number pad: digits, and the signs that what is asked for is written with."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QWidget

from shopclock.shop.values.habits import habits, marked
from shopclock.views.button import Button
from shopclock.views.dialogs import AMOUNT, CLOCK
from shopclock.widgets.accessible import Accessible
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from PySide6.QtGui import QKeyEvent

    from shopclock.widgets.style import Style

DIGIT_BOUNCE_MS = 150
"""Shorter than elsewhere: 11 is typed with one key, and what is typed is seen before it counts."""

DIGITS = ("789", "456", "123")
TITLES = {"back": "Delete", "clear": "Clear"}
TYPED_AS = {",": ".:", ".": ":"}
"""What a keyboard's sign stands for where it is not asked for itself: a comma for the point, a point between hours."""
LONGEST = 12
HALVES = {"a": " AM", "p": " PM"}
"""Halves of the day, where a clock has twelve hours, by the letter that a keyboard types for them."""


def places(signs: str, *, halves: bool = False) -> dict[str, tuple[int, int, int, int]]:
    """Return where each key stands: row, column, rows and columns taken. What signs leave free makes others larger."""
    at = {key: (row, column, 1, 1) for row, keys in enumerate(DIGITS) for column, key in enumerate(keys)}
    beside, under = signs[:1], signs[1:]
    if beside:
        at[beside] = (3, 0, 1, 1)
    at["0"] = (3, len(beside), 1, 3 - len(beside) - ("-" in under))
    if "-" in under:
        at["-"] = (3, 2, 1, 1)
    high = 1 if "/" in under or halves else 2
    at |= {"back": (0, 3, high, 1), "clear": (high, 3, high, 1)}
    if halves:
        at |= {half: (row, 3, 1, 1) for row, half in enumerate(HALVES.values(), start=2)}
    return at | ({"/": (2, 3, 1, 1)} if "/" in under else {})


class Keypad(Accessible, QWidget):
    """Digits, and `signs` of `widgets.dialogs`; `changed` carries the whole value after each key."""

    changed = Signal(str)
    entered = Signal()

    def __init__(self, look: Style, signs: str = AMOUNT, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._signs = signs
        self._halves = HALVES if signs == CLOCK and habits().half_days else {}
        self._value = ""
        self._fresh = False
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(look.sizes.gap)
        for key, place in places(signs, halves=bool(self._halves)).items():
            self._add(key, place)
        for n in range(4):
            self._grid.setRowStretch(n, 1)
            self._grid.setColumnStretch(n, 1)
        self.setAccessibleName("Number pad")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    @property
    def value(self) -> str:
        """Text that has been typed; a point is a point at whatever place."""
        return self._value

    @property
    def shown(self) -> str:
        """The same as it is written at this place."""
        return marked(self._value)

    def set_value(self, value: str) -> None:
        """Start from this value; the first digit replaces it."""
        self._value = value
        self._fresh = bool(value)
        self.changed.emit(value)

    def press(self, key: str) -> None:
        """Do what a key does: a sign of its own, "back" or "clear"."""
        fresh, self._fresh = self._fresh, False
        before = "" if fresh and key.isdigit() else self._value
        bare = next((before.removesuffix(half) for half in self._halves.values() if before.endswith(half)), before)
        if key == "clear":
            before = ""
        elif key == "back":
            before = bare if bare != before else before[:-1]
        elif len(bare) < LONGEST:
            before = bare + key
        self._value = before
        self.changed.emit(before)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The same from a keyboard."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
        elif event.key() == Qt.Key.Key_Backspace:
            self.press("back")
        elif key := self._meant(event.text()):
            self.press(key)
        else:
            super().keyPressEvent(event)

    def _meant(self, typed: str) -> str:
        """Return the key that a keyboard's stands for; nothing where there is none."""
        if typed and typed in "0123456789" + self._signs:
            return typed
        if typed.lower() in self._halves:
            return self._halves[typed.lower()]
        return next((sign for sign in TYPED_AS.get(typed, "") if sign in self._signs), "")

    def _add(self, key: str, place: tuple[int, int, int, int]) -> None:
        title = TITLES.get(key, marked(key.strip()))
        button = PressButton(self._look, Button(title, role="raised"), bounce_ms=DIGIT_BOUNCE_MS)
        button.set_least(0.75)
        button.pressed_at.connect(partial(self._pressed, key))
        self._grid.addWidget(button, *place)

    def _pressed(self, key: str, _came_down: object) -> None:
        self.press(key)
