"""A painted chart of dots: a row a stage, a dot a piece, the longest by its letter, the middle a bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from shopclock.views.chart_scale import even_ticks
from shopclock.views.dots_picture import DotsPicture
from shopclock.widgets.accessible import Part
from shopclock.widgets.bars import NAMES_SHARE, ChartRows
from shopclock.widgets.drawing import CENTRE, RIGHT
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.views.dots_picture import DotRow
    from shopclock.widgets.style import Style

DOT = 0.36
"""Half the width of a dot, in heights of letters."""
MOST_TICKS = 9


class Dots(ChartRows):
    """The chart, a page of rows at a time."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.picture: DotsPicture = DotsPicture()

    def show_picture(self, picture: DotsPicture) -> None:
        """Show this."""
        self.picture = picture
        self.setAccessibleName(picture.heading)
        self.setAccessibleDescription(picture.spoken)
        self.update()

    def reader_parts(self) -> list[Part]:
        """Head, scale, and the rows in sight."""
        ticks = [text for _, text in even_ticks(self.picture.most, MOST_TICKS)]
        rows = self.in_order(self.picture.rows)[self.first : self.first + self.in_sight()]
        heads = [Part(text, self.rect()) for text in (self.picture.head, *ticks)]
        return [*heads, *(self.line_part(number, row.spoken) for number, row in enumerate(rows))]

    def count(self) -> int:
        """Number of rows."""
        return len(self.picture.rows)

    def bottom(self) -> float:
        """The height of the figures under the rows, px."""
        return self.px() * 1.5

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw heading, figures, and the rows in sight."""
        picture = self.picture
        rows = self.in_order(picture.rows)[self.first : self.first + self.in_sight()]
        left = min(self.wide([row.name for row in picture.rows]), self.width() * NAMES_SHARE)
        numbers = max(self.wide([*(row.number for row in picture.rows), picture.head], bold=True), self.px() * 2)
        right = max(left + 1, self.width() - numbers - self.px() * 1.6)  # a letter has room beyond the last dot
        with QPainter(self) as p:
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            end = self._draw_figures(p, left, right, self.top() + len(rows) * self.high())
            self.write(p, QRectF(0, 0, right, self.px() * 1.5), picture.heading, "quiet", bold=True)
            head = QRectF(self.width() - numbers, 0, numbers - 1, self.px() * 1.5)
            self.write(p, head, picture.head, "quiet", RIGHT, bold=True)
            for number, row in enumerate(rows):
                self._draw_row(p, row, QRectF(left, self.top() + number * self.high(), right - left, self.high()), end)

    def _draw_figures(self, p: QPainter, left: float, right: float, bottom: float) -> float:
        """Draw the scale; return its end, minutes."""
        ticks = even_ticks(self.picture.most, MOST_TICKS)
        end = float(max(self.picture.most, ticks[-1][0]))
        for at, text in ticks:
            x = left + at / end * (right - left)
            p.setPen(QPen(QColor(self.surface().sunk), 1))
            p.drawLine(QLineF(x, self.top(), x, bottom))
            row = QRectF(x - self.px() * 2, bottom + self.px() * 0.2, self.px() * 4, self.px() * 1.3)
            self.write(p, row, text, "quiet", CENTRE)
        return end

    def _draw_row(self, p: QPainter, row: DotRow, box: QRectF, end: float) -> None:
        px, middle = self.px(), box.center().y()
        if row.told:
            p.fillRect(QRectF(0, box.top(), self.width(), box.height()), QColor(self.surface().sunk))
        self.write(p, QRectF(0, box.top(), box.left() - px * 0.6, box.height()), row.name)
        number = QRectF(box.right(), box.top(), self.width() - box.right() - 1, box.height())
        self.write(p, number, row.number, "text", RIGHT, bold=True)
        if not row.dots:
            return

        def x(minutes: float) -> float:
            return box.left() + minutes / end * box.width()

        longest = row.longest
        ends = (min(dot.minutes for dot in row.dots), longest.minutes)
        p.setPen(QPen(QColor(accent(self._look.theme, self.surface(), "dye_text")), 1.5))
        p.drawLine(QLineF(x(ends[0]), middle, x(ends[1]), middle))
        if row.middle is not None:
            p.setPen(QPen(QColor(accent(self._look.theme, self.surface(), "straw")), 2.5))
            p.drawLine(QLineF(x(row.middle), middle - px * 0.75, x(row.middle), middle + px * 0.75))
        for dot in row.dots:
            if dot is longest and len(row.dots) > 1:
                continue
            role = "red" if dot.lost else "dye_text"
            p.setPen(QPen(QColor(self.surface().ground), 1))
            p.setBrush(QColor(accent(self._look.theme, self.surface(), role)))
            p.drawEllipse(QPointF(x(dot.minutes), middle), px * DOT, px * DOT)
            if dot.lost:  # told by shape too
                p.setPen(QPen(QColor(self.surface().ground), 1.5, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
                r = px * DOT * 0.7
                p.drawLine(QLineF(x(dot.minutes) - r, middle - r, x(dot.minutes) + r, middle + r))
        others = [x(dot.minutes) for dot in row.dots if dot is not longest]
        self._name(p, row, max([x(longest.minutes), *(place + px for place in others)]), box)

    def _name(self, p: QPainter, row: DotRow, at: float, box: QRectF) -> None:
        """Write the letter of the longest in its place, and the note after it."""
        longest, alone = row.longest, len(row.dots) == 1
        left = at + self.px() * (0.8 if alone else -0.3)
        said = f"{longest.mark}  {row.note}" if row.note else longest.mark
        line = QRectF(left, box.top(), max(self.wide([said], bold=True), self.px() * 2), box.height())
        self.write(p, line, said, "red" if longest.lost else "text", bold=True)
