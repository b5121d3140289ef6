"""Days as time lines: what was done by hand and stayed by above, waits and what was away below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from shopclock.views.bars_picture import LinesPicture
from shopclock.widgets.chart_rows import ChartRows
from shopclock.widgets.drawing import CENTRE, RIGHT

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.views.bars_picture import LineRow, LineSpan
    from shopclock.widgets.style import Style


class TimeLines(ChartRows):
    """A line for each day. Kinds: "by hand" filled, "stay by it" hatched, "waits" a thin line, "away" dashed."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._picture = LinesPicture()

    @property
    def picture(self) -> LinesPicture:
        """What it shows."""
        return self._picture

    def show_picture(self, picture: LinesPicture) -> None:
        """Show this."""
        self._picture = picture
        self.setAccessibleName(picture.spoken)
        self.update()

    def count(self) -> int:
        """How many days there are."""
        return len(self._picture.rows)

    def share(self) -> float:
        """A day has two lanes."""
        return 1.7 if self._picture.named else 1.3

    def top(self) -> float:
        """Legend and hours."""
        return self.px() * 3.2

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw legend, hours and days."""
        left = self.wide([row.name for row in self._picture.rows])
        right = self.width() - self.wide([row.number for row in self._picture.rows], bold=True)
        rows = self._picture.rows[self.first : self.first + self.in_sight()]
        with QPainter(self) as p:
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw_legend(p)
            self._draw_hours(p, left, right, self.top() + len(rows) * self.high())
            for number, row in enumerate(rows):
                self._draw_day(p, row, self.top() + number * self.high(), left, right)

    def _draw_legend(self, p: QPainter) -> None:
        left, high, swatch = 0.0, self.px() * 1.5, self.px() * 1.6
        for kind, name in self._picture.legend:
            self._draw_span(p, QRectF(left, high * 0.25, swatch, high * 0.5), kind)
            left += swatch * 1.3
            wide = self.wide([name])
            self.write(p, QRectF(left, 0, wide, high), name, "quiet")
            left += wide + self.px()

    def _draw_hours(self, p: QPainter, left: float, right: float, bottom: float) -> None:
        for at, name in self._picture.ticks:
            x = left + at * (right - left)
            self.write(
                p, QRectF(x - self.px() * 2, self.px() * 1.6, self.px() * 4, self.px() * 1.5), name, "quiet", CENTRE
            )
            faint = QColor(self.surface().line)
            faint.setAlphaF(0.45)
            p.setPen(QPen(faint, 1))
            p.drawLine(QLineF(x, self.top(), x, bottom))

    def _draw_day(self, p: QPainter, row: LineRow, top: float, left: float, right: float) -> None:
        high, wide = self.high(), right - left
        self.write(p, QRectF(0, top, left, high), row.name)
        self.write(p, QRectF(right, top, self.width() - right, high), row.number, "text", RIGHT, bold=True)
        for span in row.spans:
            low = span.kind in ("waits", "away")
            lane = QRectF(left, top + high * (0.66 if low else 0.1), wide, high * (0.22 if low else 0.52))
            rect = QRectF(left + span.start * wide, lane.top(), max(1.5, (span.end - span.start) * wide), lane.height())
            self._draw_span(p, rect, span.kind)
            self._name(p, rect, span)

    def _name(self, p: QPainter, rect: QRectF, span: LineSpan) -> None:
        """Write what it was where there is room for all of it: white on dye, on a clear ground where it is hatched."""
        name = next((n for n in (span.name, span.short) if n and self.wide([n]) < rect.width()), "")
        if not name or span.kind not in ("by hand", "stay by it") or rect.height() <= self.px():
            return
        if span.kind == "stay by it":
            wide = self.wide([name])
            p.fillRect(
                QRectF(rect.center().x() - wide / 2, rect.top(), wide, rect.height()), QColor(self.surface().ground)
            )
        p.setPen(QColor(self._look.theme.on_dye if span.kind == "by hand" else self.surface().text))
        p.drawText(rect, CENTRE | Qt.AlignmentFlag.AlignVCenter, name)

    def _draw_span(self, p: QPainter, rect: QRectF, kind: str) -> None:
        theme = self._look.theme
        p.setPen(Qt.PenStyle.NoPen)
        if kind == "by hand":
            p.fillRect(rect, QColor(theme.dye))
        elif kind == "stay by it":
            p.setPen(QPen(QColor(theme.straw), 1))
            p.setBrush(QBrush(QColor(theme.straw), Qt.BrushStyle.BDiagPattern))
            p.drawRect(rect)
        else:
            style = Qt.PenStyle.SolidLine if kind == "waits" else Qt.PenStyle.DashLine
            p.setPen(QPen(QColor(self.surface().quiet), 3, style, Qt.PenCapStyle.FlatCap))
            p.drawLine(QLineF(rect.left(), rect.center().y(), rect.right(), rect.center().y()))
