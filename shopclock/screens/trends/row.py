"""A row of buttons that are not needed while working: as high as a tab, as wide as their words."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from shopclock.views.button import Button
from shopclock.widgets.button_face import natural_width
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.widgets.style import Style

WIDEST = 0.24
"""The most that one button takes of the window's width; a longer name takes two lines."""


class RowButton(PressButton):
    """A button of the row. All titles have one size; where there is no room the buttons get narrower together."""

    def __init__(self, look: Style, key: str) -> None:
        super().__init__(look, Button(key), bounce_ms=250)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self._redress()

    def sizeHint(self) -> QSize:
        """As wide as its words."""
        sizes, least = self._look.sizes, self.minimumSizeHint()
        wide = round(min(natural_width(self.state, self._look, sizes.body_text), WIDEST * sizes.width))
        return QSize(max(least.width(), wide), least.height())

    def minimumSizeHint(self) -> QSize:
        """A little wider than high."""
        tab = self._look.sizes.tab
        return QSize(round(1.2 * tab), tab)

    def _redress(self) -> None:
        self.limit_title(self._look.sizes.body_text)
        super()._redress()


class ButtonRow(QWidget):
    """Buttons beside each other; `pressed` carries the key of the one that was pressed."""

    pressed = Signal(str)

    def __init__(self, look: Style, keys: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.buttons = {key: self._button(key) for key in keys}
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        for button in self.buttons.values():
            self._row.addWidget(button)
        look.changed.connect(self._redress)
        self._redress()

    def show_states(self, states: Mapping[str, Button]) -> None:
        """Show these states by key; a button without one is hidden, the row with all of them."""
        for key, button in self.buttons.items():
            button.setVisible(key in states)
        for key, state in states.items():
            self.buttons[key].show_state(state)
        self.setVisible(bool(states))

    def _button(self, key: str) -> PressButton:
        button = RowButton(self._look, key)
        button.pressed_at.connect(partial(self._press, key))
        return button

    def _press(self, key: str, _came_down: object) -> None:
        self.pressed.emit(key)

    def _redress(self) -> None:
        self._row.setSpacing(self._look.sizes.gap)
