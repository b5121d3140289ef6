"""Bars under each other: parts in colour and hatch, a range across them, the number at the right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from shopclock.views.bars_picture import BarsPicture, Fill
from shopclock.widgets.chart_rows import ChartRows
from shopclock.widgets.drawing import RIGHT

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.views.bars_picture import BarRow
    from shopclock.widgets.style import Style

HATCHES = {
    "lines": Qt.BrushStyle.BDiagPattern,
    "cross": Qt.BrushStyle.DiagCrossPattern,
    "dots": Qt.BrushStyle.Dense5Pattern,
}
Parts = tuple[tuple[Fill, float], ...]


class Bars(ChartRows):
    """A chart of bars."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._picture = BarsPicture()

    @property
    def picture(self) -> BarsPicture:
        """What it shows."""
        return self._picture

    def show_picture(self, picture: BarsPicture) -> None:
        """Show this."""
        self._picture = picture
        self.setAccessibleName(f"{picture.heading}: {picture.spoken}")
        self.update()

    def count(self) -> int:
        """How many bars there are."""
        return len(self._picture.rows)

    def share(self) -> float:
        """Two bars need more room than one."""
        return 1.35 if any(row.second for row in self._picture.rows) else 1.0

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw heading, legend and lines."""
        with QPainter(self) as p:
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw_top(p)
            rows = self._picture.rows[self.first : self.first + self.in_sight()]
            for number, row in enumerate(rows):
                self._draw_row(p, row, self.top() + number * self.high())

    def _columns(self) -> tuple[float, float, float, float, float]:
        """Left and width of the bars; left of the numbers, of the second numbers, of the words."""
        rows, heads = self._picture.rows, self._picture.heads
        names = min(self.wide([row.name for row in rows]), self.width() * 0.42)
        numbers = self.wide([*(row.number for row in rows), heads[0]], bold=True)
        seconds = self.wide([*(row.second_number for row in rows), heads[1]], bold=True)
        words = self.wide([row.word for row in rows])
        right = self.width() - words - seconds - numbers
        return names, max(1.0, right - names), right, right + numbers, right + numbers + seconds

    def _draw_top(self, p: QPainter) -> None:
        high = self.px() * 1.5
        _, _, numbers, seconds, words = self._columns()
        gap = self.px() * 0.9
        self.write(p, QRectF(0, 0, numbers, high), self._picture.heading, "quiet", bold=True)
        for head, left, right in zip(self._picture.heads, (numbers, seconds), (seconds, words), strict=True):
            self.write(p, QRectF(left, 0, right - left - gap / 3, high), head, "quiet", RIGHT)
        self._draw_legend(p, high, numbers if any(self._picture.heads) else self.width())

    def _draw_legend(self, p: QPainter, high: float, right: float) -> None:
        """What the fills mean, from the right; what there is no room for is left out."""
        least = self.wide([self._picture.heading], bold=True)
        swatch = self.px() * 1.0
        for fill, name in reversed(self._picture.legend):
            wide = self.wide([name]) + swatch * 1.4
            if right - wide < least:
                return
            right -= wide
            box = QRectF(right, (high - swatch * 0.7) / 2, swatch, swatch * 0.7)
            if fill is None:
                self._draw_range(p, box.left(), box.right(), box.center().y(), box.height())
            else:
                self._fill(p, box, fill)
            self.write(p, QRectF(right + swatch * 1.4, 0, wide - swatch * 1.4, high), name, "quiet")

    def _draw_row(self, p: QPainter, row: BarRow, top: float) -> None:
        left, wide, numbers, seconds, words = self._columns()
        high, gap = self.high(), self.px() * 0.3
        line = QRectF(0, top, left - gap * 2, high)
        self.write(p, line, row.name)
        scale = wide * 0.98 / self._picture.most
        thick = high * (0.36 if row.second else 0.6)
        bar = QRectF(left, top + (high * 0.08 if row.second else (high - thick) / 2), wide, thick)
        self._draw_parts(p, bar, row.parts, scale)
        if row.second:
            self._draw_parts(p, bar.translated(0, thick * 1.1), row.second, scale)
        if row.low is not None and row.high is not None:
            ends = (left + row.low * scale, left + row.high * scale)
            self._draw_range(p, *ends, bar.center().y(), thick * 0.75)
        self.write(p, QRectF(numbers, top, seconds - numbers - gap, high), row.number, "text", RIGHT, bold=True)
        self.write(p, QRectF(seconds, top, words - seconds - gap, high), row.second_number, "text", RIGHT)
        self.write(p, QRectF(words + gap * 2, top, self.width() - words - gap * 2, high), row.word, row.word_role)

    def _draw_parts(self, p: QPainter, bar: QRectF, parts: Parts, scale: float) -> None:
        left = bar.left()
        for fill, amount in parts:
            self._fill(p, QRectF(left, bar.top(), amount * scale, bar.height()), fill)
            left += amount * scale

    def _fill(self, p: QPainter, rect: QRectF, fill: Fill) -> None:
        """Fill a part: plain, or hatched on the ground with an edge."""
        colour = QColor(str(getattr(self._look.theme, fill.role)))
        p.setPen(QPen(colour, 1) if fill.hatch else Qt.PenStyle.NoPen)
        p.setBrush(QBrush(colour, HATCHES[fill.hatch]) if fill.hatch else QBrush(colour))
        p.drawRect(rect)

    def _draw_range(self, p: QPainter, low: float, high: float, middle: float, tall: float) -> None:
        """A range: a line with an end at each side, edged in the ground's colour so that it is seen on any fill."""
        ends = [QLineF(x, middle - tall / 2, x, middle + tall / 2) for x in (low, high)]
        for colour, thick in ((self.surface().ground, 5.0), (self._look.theme.straw, 2.0)):
            p.setPen(QPen(QColor(colour), thick, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
            p.drawLines([QLineF(low, middle, high, middle), *ends])
