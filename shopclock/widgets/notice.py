"""A strip under the header that says one thing, and at most one thing can be done about it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy

from shopclock.widgets.button_face import ButtonState
from shopclock.widgets.drawn import Drawn
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.look import Look


@dataclass(frozen=True, slots=True)
class NoticeState:
    """What the strip says, its role (straw, red, plate) and the text of its button, if it has one."""

    text: str
    role: str = "plate"
    button: str = ""


class Notice(Drawn):
    """The strip; hidden while there is nothing to say. `pressed_at` is its button's."""

    pressed_at = Signal(object)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._state: NoticeState | None = None
        self._label = Label(look, "body", lines=2)
        self._button = PressButton(look, ButtonState(""))
        self._button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self._button.pressed_at.connect(self.pressed_at)
        self._row = QHBoxLayout(self)
        self._row.addWidget(self._label)
        self._row.addWidget(self._button)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.hide()

    def show_state(self, state: NoticeState | None) -> None:
        """Say this, or nothing."""
        if state == self._state:
            return
        self._state = state
        self.setVisible(state is not None)
        if state is not None:
            self._dress(state)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Fill the strip."""
        with QPainter(self) as p:
            p.fillRect(self.rect(), QColor(self.surface().ground))

    def _dress(self, state: NoticeState) -> None:
        sizes = self._look.sizes
        self._row.setContentsMargins(sizes.margin, sizes.gap // 2, sizes.margin, sizes.gap // 2)
        for widget in (self, self._label, self._button):
            widget.set_surface(state.role)
        self._label.set_text(state.text)
        self._button.setVisible(bool(state.button))
        self._button.show_state(ButtonState(state.button, role="plate" if state.role == "plate" else "ink"))
