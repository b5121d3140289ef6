"""One line of text, for the few things that are typed: a name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QSizePolicy, QWidget

from shopclock.views.button import WAITS_FOR_TEXT, Button
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from shopclock.widgets.style import Style

LONGEST = 80


class TextEntry(QWidget):
    """A large field with OK beside it; the keyboard is the machine's own. `entered` carries the text, stripped."""

    entered = Signal(str)

    def __init__(self, look: Style, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.field = QLineEdit()
        self.field.setMaxLength(LONGEST)
        self.field.setAccessibleName(name)
        self.field.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._ok = PressButton(look, Button("OK", role="primary"))
        self._ok.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(look.sizes.gap)
        row.addWidget(self.field)
        row.addWidget(self._ok)
        self.setFocusProxy(self.field)
        self.field.returnPressed.connect(self._enter)
        self.field.textChanged.connect(self._redress)
        self._ok.pressed_at.connect(self._enter)
        look.changed.connect(self._redress)
        self._redress()

    def start(self, text: str) -> None:
        """Start from this text, marked so that typing replaces it."""
        self.field.setText(text)
        self.field.selectAll()

    def _enter(self, *_: object) -> None:
        text = self.field.text().strip()
        if text:
            self.entered.emit(text)

    def _redress(self, *_: object) -> None:
        self.field.setFont(self._look.font(self._look.sizes.sentence_text))
        self.setFixedHeight(self._look.sizes.touch)
        self._ok.show_state(Button("OK", role="primary", why_not="" if self.field.text().strip() else WAITS_FOR_TEXT))
