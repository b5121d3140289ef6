"""Screen while there is no record at its place: three large ways in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from shopclock.views.button import Button
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from PySide6.QtCore import SignalInstance

    from shopclock.widgets.style import Style

SENTENCE = "Time each stage as you work, and know what a piece really costs."
OWN = Button("My own shop", "empty, with routes to copy; old notes come in under Shop", role="primary")
DEMO = Button("The demo shop", "two invented years; press anything, nothing is kept")


FILE = Button("A record I have", "a copy, an archive, the desk's")
TAKE_OVER = Button("Take it over", "nobody has it open any more")
BACK = Button("Bring it back", "from its copies, an archive or a stick", role="primary")
NEW = Button("A new shop", "empty, with routes to copy")


class WelcomeScreen(QWidget):
    """One sentence and three ways in."""

    own = Signal()
    demo = Signal()
    file = Signal()
    over = Signal()

    def __init__(self, look: Style) -> None:
        super().__init__()
        self._look = look
        self._sentence = Label(look, "sentence", SENTENCE, lines=2)
        self._own = self._way(OWN, self.own)
        self._demo = self._way(DEMO, self.demo)
        self._file = self._way(FILE, self.file)
        self._over = self._way(TAKE_OVER, self.over)
        self._over.hide()
        self._column = QVBoxLayout(self)
        self._row = QHBoxLayout()
        for button in (self._own, self._demo, self._file, self._over):
            self._row.addWidget(button, 1)
        self._column.addStretch(1)
        self._column.addWidget(self._sentence)
        self._column.addLayout(self._row)
        self._column.addStretch(2)
        look.changed.connect(self._redress)
        self._redress()

    def miss(self, sentence: str) -> None:
        """Say that the record is gone, and offer first to bring it back."""
        self._sentence.set_text(sentence)
        self._own.show_state(NEW)
        self._file.show_state(BACK)
        self._row.insertWidget(0, self._file, 1)

    def wait(self, sentence: str, *, over: bool = False) -> None:
        """Say what is being done, with nothing to press; `over`: but for taking a record over."""
        self._sentence.set_text(sentence)
        self._own.hide()
        self._demo.hide()
        self._file.hide()
        self._over.setVisible(over)

    def _way(self, state: Button, signal: SignalInstance) -> PressButton:
        button = PressButton(self._look, state)
        button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        button.pressed_at.connect(lambda _came_down: signal.emit())
        return button

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, sizes.margin, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap * 2)
        self._row.setSpacing(sizes.gap)
        for button in (self._own, self._demo, self._file, self._over):
            button.setFixedHeight(sizes.touch * 2)
