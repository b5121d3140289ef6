"""Painted charts of lines: bars under each other, and days as time lines."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from PySide6.QtCore import QLineF, QRect, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy

from shopclock.views.bars_picture import ATTENDED, BarsPicture, Fill, LinesPicture, named_beside, widest_gap
from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.widgets.accessible import Part, Role
from shopclock.widgets.drawing import CENTRE, LEFT, RIGHT, PaintedGround, draw_fitted, measure
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.views.bars_picture import BarRow, LineRow, LineSpan
    from shopclock.views.fit import FittedText
    from shopclock.widgets.style import Style

ROW = 1.3
"""The least height of a line, as a share of its text."""
WIDEST = 2.4
"""The most height of a line, as a share of its text."""


class Told(Protocol):
    """A line that may be named by the sentence."""

    @property
    def told(self) -> bool:
        """True if the sentence names it."""


R = TypeVar("R", bound=Told)


class ChartRows(PaintedGround):
    """A chart of lines; `first` is the line at the top."""

    picture: Any
    """Each kind of chart has its own."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.first = 0
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def copy_for(self, look: Style) -> ChartRows:
        """All of it, drawn with another look."""
        made = type(self)(look)
        made.show_picture(self.picture)
        made.resize(self.width(), max(self.height(), made.whole()))
        return made

    def show_picture(self, picture: Any) -> None:
        """Show this."""
        raise NotImplementedError

    def whole(self) -> int:
        """The height at which all lines are in sight, px."""
        return ceil(self.top() + self.bottom() + self.count() * self.px() * ROW * self.share()) + 1

    def count(self) -> int:
        """Number of lines."""
        raise NotImplementedError

    def share(self) -> float:
        """Height of a line as a multiple of what its text needs: 1 for one bar."""
        return 1.0

    def px(self) -> int:
        """The font size of names and numbers."""
        return self._look.sizes.small_text

    def top(self) -> float:
        """The height of what stands above the lines, px."""
        return self.px() * 1.7

    def reader_role(self) -> Role:
        """A chart."""
        return Role.Chart

    def line_part(self, number: int, text: str) -> Part:
        """Part that tells of the line that stands so many under the top."""
        place = QRect(0, round(self.top() + number * self.high()), self.width(), round(self.high()))
        return Part(text, place, Role.ListItem)

    def bottom(self) -> float:
        """The height of what stands below the lines, px."""
        return 0.0

    def in_sight(self) -> int:
        """Number of lines that there is room for."""
        return max(1, int((self.height() - self.top() - self.bottom()) / (self.px() * ROW * self.share())))

    def in_order(self, rows: Sequence[R]) -> list[R]:
        """Lines in their order; where not all are in sight at once, those that the sentence names come first."""
        if len(rows) <= self.in_sight():
            return list(rows)
        return sorted(rows, key=lambda row: not row.told)

    def show_from(self, first: int) -> None:
        """Show the lines from this one on."""
        if first != self.first:
            self.first = first
            self.update()

    def high(self) -> float:
        """The height of a line, px."""
        lines = min(self.in_sight(), max(1, self.count()))
        return min((self.height() - self.top() - self.bottom()) / lines, self.px() * WIDEST * self.share())

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


HATCHES = {
    "lines": Qt.BrushStyle.BDiagPattern,
    "cross": Qt.BrushStyle.DiagCrossPattern,
    "dots": Qt.BrushStyle.Dense5Pattern,
}
Parts = tuple[tuple[Fill, float], ...]
NAMES_SHARE, BARS_SHARE = 0.42, 0.25
"""Names may take this part of the width, and more as long as the bars keep theirs."""


class Bars(ChartRows):
    """A chart of bars."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.picture = BarsPicture()

    def show_picture(self, picture: BarsPicture) -> None:
        """Show this."""
        self.picture = picture
        self.setAccessibleName(picture.heading)
        self.setAccessibleDescription(picture.spoken)
        self.update()

    def reader_parts(self) -> list[Part]:
        """Heads, legend, and the lines in sight."""
        top = QRect(0, 0, self.width(), round(self.top()))
        heads = [Part(text, top) for text in (*self.picture.heads, *(name for _, name in self.picture.legend))]
        rows = self.in_order(self.picture.rows)[self.first : self.first + self.in_sight()]
        return [*heads, *(self.line_part(number, row.spoken) for number, row in enumerate(rows))]

    def count(self) -> int:
        """Number of bars."""
        return len(self.picture.rows)

    def share(self) -> float:
        """Two bars need more room than one."""
        return 1.35 if any(row.second for row in self.picture.rows) else 1.0

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw heading, legend and lines."""
        with QPainter(self) as p:
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw_top(p)
            rows = self.in_order(self.picture.rows)[self.first : self.first + self.in_sight()]
            for number, row in enumerate(rows):
                self._draw_row(p, row, self.top() + number * self.high())

    def _columns(self) -> tuple[float, float, float, float, float]:
        """Left and width of the bars; left of the numbers, of the second numbers, of the words."""
        rows, heads = self.picture.rows, self.picture.heads
        names = self.wide([row.name for row in rows])
        numbers = self.wide([*(row.number for row in rows), heads[0]], bold=True)
        seconds = self.wide([*(row.second_number for row in rows), heads[1]], bold=True)
        words = self.wide([row.word for row in rows])
        right = self.width() - words - seconds - numbers
        names = min(names, max(self.width() * NAMES_SHARE, right - self.width() * BARS_SHARE))
        return names, max(1.0, right - names), right, right + numbers, right + numbers + seconds

    def _draw_top(self, p: QPainter) -> None:
        high = self.px() * 1.5
        _, _, numbers, seconds, words = self._columns()
        gap = self.px() * 0.9
        self.write(p, QRectF(0, 0, numbers, high), self.picture.heading, "quiet", bold=True)
        for head, left, right in zip(self.picture.heads, (numbers, seconds), (seconds, words), strict=True):
            self.write(p, QRectF(left, 0, right - left - gap / 3, high), head, "quiet", RIGHT)
        self._draw_legend(p, high, numbers if any(self.picture.heads) else self.width())

    def _draw_legend(self, p: QPainter, high: float, right: float) -> None:
        """The legend of the fills, from the right; what there is no room for is left out."""
        least = self.wide([self.picture.heading], bold=True)
        swatch = self.px() * 1.0
        for fill, name in reversed(self.picture.legend):
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
        scale = wide * 0.98 / self.picture.most
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


LANES_HIGH, LANE, LOW_LANE, LOW = 1.7, 0.52, 0.34, 0.22
"""Height of a day's line with two lanes, as a multiple of what its text needs; what somebody does has this share of it
at the top, what waits has the last at the bottom, and is so thick."""
BESIDE, NAMES_LINES = 0.6, 4
"""So far from it, in font sizes, stand the names beside a bar, in no more lines than these."""


class TimeLines(ChartRows):
    """A line for each day. Kinds: "by hand" filled, "stay by it" hatched, "waits" a thin line, "away" dashed."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self.picture = LinesPicture()
        self._shown_for: object = None
        self._most_lines = 1

    def show_picture(self, picture: LinesPicture) -> None:
        """Show this."""
        self.picture = picture
        self.setAccessibleName("Days")
        self.setAccessibleDescription(picture.spoken)
        self.update()

    def reader_parts(self) -> list[Part]:
        """Legend, hours, and the days in sight."""
        top = QRect(0, 0, self.width(), round(self.top()))
        heads = [Part(text, top) for text in (*(name for _, name in self.picture.legend), *self._hours())]
        rows = self.picture.rows[self.first : self.first + self.in_sight()]
        left, right = self._ends()
        beside = (self._beside(row, right - left)[0] for row in rows)
        told = (", ".join(part for part in (row.spoken, said) if part) for row, said in zip(rows, beside, strict=True))
        return [*heads, *(self.line_part(number, text) for number, text in enumerate(told))]

    def _ends(self) -> tuple[float, float]:
        """From where to where the lines go, px: between the names and the hours."""
        left = self.wide([row.name for row in self.picture.rows])
        return left, self.width() - self.wide([row.number for row in self.picture.rows], bold=True)

    def _hours(self) -> list[str]:
        return [text for _, text in self.picture.ticks]

    def count(self) -> int:
        """Number of days."""
        return len(self.picture.rows)

    def share(self) -> float:
        """A day has two lanes; the upper one is higher where the names beside the bars of a day take more lines."""
        return LANES_HIGH + (self._lines() - 1) * LINE_HEIGHT / ROW if self.picture.named else 1.3

    def _lines(self) -> int:
        """Number of lines that the names beside the bars of a day take at most; worked out once for a picture."""
        shown_for = (self.picture, self.width(), self.px())
        if shown_for != self._shown_for:
            left, right = self._ends()
            beside = [self._beside(row, right - left) for row in self.picture.rows if self.picture.named]
            self._most_lines = max((len(self._written(*one).lines) for one in beside), default=1)
            self._shown_for = shown_for
        return self._most_lines

    def _written(self, told: str, start: float, end: float) -> FittedText:
        """Names as they are written beside a bar."""
        px = self.px()
        box = TextBox(end - start - 2 * BESIDE * px, NAMES_LINES * LINE_HEIGHT * px, px, px, px)
        return self._look.fitted(told, box, Weight.MEDIUM)

    def top(self) -> float:
        """Legend and hours."""
        return self.px() * 3.2

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw legend, hours and days."""
        left, right = self._ends()
        rows = self.picture.rows[self.first : self.first + self.in_sight()]
        with QPainter(self) as p:
            p.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._draw_legend(p)
            self._draw_hours(p, left, right, self.top() + len(rows) * self.high())
            for number, row in enumerate(rows):
                self._draw_day(p, row, self.top() + number * self.high(), left, right)

    def _draw_legend(self, p: QPainter) -> None:
        left, high, swatch = 0.0, self.px() * 1.5, self.px() * 1.6
        for kind, name in self.picture.legend:
            self._draw_span(p, QRectF(left, high * 0.25, swatch, high * 0.5), kind)
            left += swatch * 1.3
            wide = self.wide([name])
            self.write(p, QRectF(left, 0, wide, high), name, "quiet")
            left += wide + self.px()

    def _draw_hours(self, p: QPainter, left: float, right: float, bottom: float) -> None:
        for at, name in self.picture.ticks:
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
        flat = high * LANES_HIGH / self.share() if self.picture.named else high
        upper, lower = QRectF(left, top + flat * 0.1, wide, flat * LANE), top + high - flat * LOW_LANE
        for span in row.spans:
            lane = QRectF(left, lower, wide, flat * LOW) if span.kind in ("waits", "away") else upper
            rect = QRectF(left + span.start * wide, lane.top(), max(1.5, (span.end - span.start) * wide), lane.height())
            self._draw_span(p, rect, span.kind)
            self._name(p, rect, span)
        upper.setBottom(lower - flat * 0.04)
        self._name_beside(p, row, upper)

    def _name(self, p: QPainter, rect: QRectF, span: LineSpan) -> None:
        """Write what it was where there is room for all of it: white on dye, on a clear ground where it is hatched."""
        name = next((n for n in span.names if n and self.wide([n]) < rect.width()), "")
        if not name or span.kind not in ("by hand", "stay by it") or rect.height() <= self.px():
            return
        if span.kind == "stay by it":
            wide = self.wide([name])
            p.fillRect(
                QRectF(rect.center().x() - wide / 2, rect.top(), wide, rect.height()), QColor(self.surface().ground)
            )
        p.setPen(QColor(self._look.theme.on_dye if span.kind == "by hand" else self.surface().text))
        p.drawText(rect, CENTRE | Qt.AlignmentFlag.AlignVCenter, name)

    def _beside(self, row: LineRow, wide: float) -> tuple[str, float, float]:
        """Names that have no room in their bars, in order; from where to where the widest gap is, px.

        `wide` is the line's width. Nothing is said where the chart names nothing.
        """

        def fits(name: str, share: float) -> bool:
            return self.wide([name]) < share * wide

        start, end = (at * wide for at in widest_gap([span for span in row.spans if span.kind in ATTENDED]))
        ways = [named_beside(row.spans, fits, place) for place in (0, 1)]
        told = next((said for said in ways if self.wide([said]) < end - start - 2 * BESIDE * self.px()), ways[-1])
        return told if self.picture.named else "", start, end

    def _name_beside(self, p: QPainter, row: LineRow, lane: QRectF) -> None:
        """Write beside its bar what has no room in it."""
        told, start, end = self._beside(row, lane.width())
        pad = BESIDE * self.px()
        box = QRectF(lane.left() + start + pad, lane.top(), end - start - 2 * pad, lane.height())
        if told:
            ink = accent(self._look.theme, self.surface(), "quiet")
            side = RIGHT if end < lane.width() else LEFT
            draw_fitted(p, box, self._written(told, start, end), self._look, Weight.MEDIUM, ink, side)

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
