"""What the painted charts have in common: lines under each other, as many as there is room for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QSizePolicy

from shopclock.widgets.drawing import LEFT, PaintedGround, measure
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.style import Style

ROW = 1.3
"""The least height of a line, as a share of its text."""
WIDEST = 2.4
"""The most height of a line, as a share of its text."""


class ChartRows(PaintedGround):
    """A chart of lines; `first` is the line at the top."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.first = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def count(self) -> int:
        """How many lines there are."""
        raise NotImplementedError

    def share(self) -> float:
        """How much higher a line is than its text needs: 1 for one bar."""
        return 1.0

    def px(self) -> int:
        """The font size of names and numbers."""
        return self._look.sizes.small_text

    def top(self) -> float:
        """The height of what stands above the lines, px."""
        return self.px() * 1.7

    def in_sight(self) -> int:
        """How many lines there is room for."""
        return max(1, int((self.height() - self.top()) / (self.px() * ROW * self.share())))

    def show_from(self, first: int) -> None:
        """Show the lines from this one on."""
        if first != self.first:
            self.first = first
            self.update()

    def high(self) -> float:
        """The height of a line, px."""
        lines = min(self.in_sight(), max(1, self.count()))
        return min((self.height() - self.top()) / lines, self.px() * WIDEST * self.share())

    def write(
        self,
        p: QPainter,
        rect: QRectF,
        text: str,
        role: str = "text",
        align: Qt.AlignmentFlag = LEFT,
        bold: bool = False,
    ) -> None:
        """Write one line of text, cut with a sign where there is no room."""
        from shopclock.widgets.theme import accent

        font = self._look.font(self.px(), Weight.SEMIBOLD if bold else Weight.MEDIUM)
        p.setFont(font)
        p.setPen(QColor(accent(self._look.theme, self.surface(), role)))
        shown = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, rect.width() + 1)
        p.drawText(rect, align | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine, shown)

    def wide(self, texts: list[str], *, bold: bool = False) -> float:
        """The width of the widest of these texts with a little room after it; nothing for no text."""
        width = measure(self._look, Weight.SEMIBOLD if bold else Weight.MEDIUM)
        found = max((width(text, self.px()) for text in texts if text), default=0.0)
        return found + self.px() * 0.9 if found else 0.0
