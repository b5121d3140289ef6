"""The bar of long work: what is being done, how much of it is done, and Cancel."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QSizePolicy, QWidget

from shopclock.views.button import Button
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import ProgressLine
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtGui import QResizeEvent

    from shopclock.widgets.style import Style

WIDE = 3
"""How many times as wide as high Cancel is."""


class WorkBar(QWidget):
    """One line of words over a line that fills; Cancel at the right is as high as both."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._cancel: Callable[[], None] | None = None
        self._label = Label(look, "section", parent=self)
        self._line = ProgressLine(look, parent=self)
        self._button = PressButton(look, Button("Cancel", role="raised"), parent=self)
        self._button.set_least(0.1)
        self._button.pressed_at.connect(self._press)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        look.changed.connect(self._redress)

    @property
    def words(self) -> str:
        """Text that it says."""
        return self._label.text

    def show_work(self, words: str, share: float | None, cancel: Callable[[], None] | None) -> None:
        """Say what is being done and how much of it is done; nothing stops it where there is no `cancel`."""
        self._cancel = cancel
        self._label.set_text(words if share is None else f"{words}, {int(share * 100)} %")
        self._line.set_share(share if share is not None else 0.0)
        self._line.setVisible(share is not None)
        self._button.setVisible(cancel is not None)
        self._arrange()

    def sizeHint(self) -> QSize:
        """Height of the header, within its margins."""
        margins = self.contentsMargins()
        return QSize(self._look.sizes.touch * 4, self._look.sizes.tab + margins.top() + margins.bottom())

    def resizeEvent(self, _event: QResizeEvent) -> None:
        """Place words, line and Cancel."""
        self._arrange()

    def _press(self, _came_down: object) -> None:
        if self._cancel is not None:
            self._cancel()

    def _redress(self) -> None:
        self.updateGeometry()
        self._arrange()

    def _arrange(self) -> None:
        sizes, room = self._look.sizes, self.contentsRect()
        high = room.height()
        wide = min(WIDE * high, room.width() // 3) if self._button.isVisibleTo(self) else 0
        thin = self._line.sizeHint().height()
        self._button.setGeometry(room.right() + 1 - wide, room.top() + thin // 2, wide, high - thin)
        left = max(1, room.width() - wide - (sizes.gap if wide else 0))
        under = 2 * thin if self._line.isVisibleTo(self) else 0
        self._label.setGeometry(room.left(), room.top(), left, high - under)
        self._line.setGeometry(room.left(), room.bottom() + 1 - under, left, thin)
