"""A row of buttons that are not needed while working: as high as a tab, as wide as their words."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from shopclock.widgets.button_face import ButtonState, natural_width
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.widgets.look import Look

WIDEST = 0.24
"""The most that one button takes of the window's width."""


class ButtonRow(QWidget):
    """Buttons beside each other; `pressed` carries the key of the one that was pressed."""

    pressed = Signal(str)

    def __init__(self, look: Look, keys: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.buttons = {key: self._button(key) for key in keys}
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        for button in self.buttons.values():
            self._row.addWidget(button)
        look.changed.connect(self._redress)
        self._redress()

    def show_states(self, states: Mapping[str, ButtonState]) -> None:
        """Show these states by key; a button without one is hidden."""
        for key, button in self.buttons.items():
            button.setVisible(key in states)
        for key, state in states.items():
            self.buttons[key].show_state(state)
        self._size()

    def _button(self, key: str) -> PressButton:
        button = PressButton(self._look, ButtonState(key), bounce_ms=250)
        button.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        button.pressed_at.connect(partial(self._press, key))
        return button

    def _press(self, key: str, _came_down: object) -> None:
        self.pressed.emit(key)

    def _redress(self) -> None:
        self._row.setSpacing(self._look.sizes.gap)
        for button in self.buttons.values():
            button.set_least(self._look.sizes.tab / self._look.sizes.touch)
        self._size()

    def _size(self) -> None:
        """As wide as their words, all in one size; a long name takes two lines."""
        sizes = self._look.sizes
        for button in self.buttons.values():
            button.limit_title(sizes.body_text)
            wide = natural_width(button.state, self._look, sizes.body_text)
            button.setFixedWidth(round(max(sizes.touch, min(wide, WIDEST * sizes.width))))
