"""A thin line that fills."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.widgets.drawing import PaintedGround, draw_bar
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style


class ProgressLine(PaintedGround):
    """How much is done, 0 to 1; the text beside it says the figures."""

    def __init__(self, look: Style, role: str = "text", parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._share = 0.0
        self._role = role
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_share(self, share: float) -> None:
        """Fill it to this share; nothing is drawn again when it is the same."""
        if share != self._share:
            self._share = share
            self.update()

    def sizeHint(self) -> QSize:
        """Thin."""
        return QSize(self._look.sizes.touch, max(4, round(6 * self._look.sizes.unit)))

    def minimumSizeHint(self) -> QSize:
        """Thin."""
        return self.sizeHint()

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw what is filled and what is not."""
        surface = self.surface()
        with QPainter(self) as p:
            draw_bar(p, QRectF(self.rect()), self._share, accent(self._look.theme, surface, self._role), surface.line)
