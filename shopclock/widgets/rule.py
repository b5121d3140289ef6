"""A painted rule of days or of prices: reaches on a scribed line, posts over it, marks under it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from shopclock.views.chart_scale import thinned
from shopclock.views.fit import TextBox
from shopclock.views.rule_picture import RulePicture, place_labels
from shopclock.widgets.accessible import Part, Role
from shopclock.widgets.drawing import LEFT, PaintedGround, draw_fitted, draw_plate
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from PySide6.QtGui import QPaintEvent
    from PySide6.QtWidgets import QWidget

    from shopclock.views.rule_picture import RuleMark
    from shopclock.widgets.style import Style
    from shopclock.widgets.theme import Surface

LINE = 1.25
"""Height of a line of words, in heights of its letters."""
BAR = 1.1
"""Height of what lies on the line, in heights of letters."""
HALF = 0.42
"""Half the width of a mark, in heights of letters."""


@dataclass(frozen=True, slots=True)
class RuleRoom:
    """Levels of words over and under the line, and whether ticks are written."""

    over: int
    under: int
    ticks: bool


class RulePainter:
    """Draws a rule with a style into a box."""

    def __init__(self, look: Style, surface: Surface) -> None:
        self._look, self._surface = look, surface

    def px(self) -> int:
        """The font size of the words."""
        return self._look.sizes.small_text

    def high(self, room: RuleRoom) -> float:
        """Height that a rule with so many words needs, px."""
        lines = room.over + max(room.under, 1 if room.ticks else 0) + (room.ticks and room.under > 0)
        return self.px() * (LINE * lines + BAR + 0.4)

    def levels(self, picture: RulePicture, width: float) -> tuple[int, int]:
        """Levels of words over and under the line that are needed in this width: no more than the picture has."""
        scale, gap = width / max(1e-9, picture.last - picture.first), self.px() * 0.35
        needed = []
        for marks, most in ((picture.posts, picture.over), (picture.marks, picture.under)):
            places = [((mark.at - picture.first) * scale, self._wide(mark)) for mark in marks]
            placed = place_labels(places, width, most, gap)
            needed.append(most if None in placed else 1 + max((one.level for one in placed if one), default=0))
        return needed[0], needed[1]

    def draw(self, p: QPainter, box: QRectF, picture: RulePicture, room: RuleRoom) -> None:
        """Draw it from the top of the box."""
        px = self.px()
        scale = box.width() / max(1e-9, picture.last - picture.first)
        line_y = box.top() + px * (LINE * room.over + 0.1 + BAR / 2)

        def x(at: float) -> float:
            return box.left() + (min(max(at, picture.first), picture.last) - picture.first) * scale

        p.setPen(QPen(QColor(self._surface.line), 1))
        p.drawLine(QLineF(box.left(), line_y, box.right(), line_y))
        for reach in picture.reaches:
            tall = px * (0.22 if reach.thin else BAR)
            rect = QRectF(x(reach.low), line_y - tall / 2, max(3.0, x(reach.high) - x(reach.low)), tall)
            p.fillRect(rect, QColor(self._look.theme.dye_text if reach.thin else self._look.theme.dye))
        if room.ticks:
            self._ticks(p, box, picture, line_y, scale)
        self._posts(p, box, [(x(mark.at), mark) for mark in picture.posts], line_y, room.over)
        self._marks(p, box, [(x(mark.at), mark) for mark in picture.marks], line_y, room)

    def draw_scale(self, p: QPainter, box: QRectF, picture: RulePicture) -> None:
        """Draw the ticks alone, each with its words, along the bottom of the box."""
        px = self.px()
        line_y = box.bottom() - px * 0.4
        scale = box.width() / max(1e-9, picture.last - picture.first)
        p.setPen(QPen(QColor(self._surface.line), 1))
        p.drawLine(QLineF(box.left(), line_y, box.right(), line_y))
        widest = max((self._look.width(text, px, Weight.MEDIUM) for _, text in picture.ticks), default=0.0) + px
        for at, text in thinned(picture.ticks, widest, scale):
            left = box.left() + (at - picture.first) * scale
            p.setPen(QPen(QColor(self._surface.line), 1))
            p.drawLine(QLineF(left, line_y - px * 0.5, left, line_y + px * 0.4))
            wide = self._look.width(text, px, Weight.MEDIUM) + 2
            row = QRectF(min(left + px * 0.3, box.right() - wide), line_y - px * 1.4, wide, px * LINE)
            self._write(p, row, text, self._surface.quiet, Weight.MEDIUM)

    def write_line(self, p: QPainter, row: QRectF, text: str) -> None:
        """Write quiet words at the bottom of a row."""
        low = QRectF(row.left(), row.bottom() - self.px() * 1.8, row.width(), self.px() * LINE)
        self._write(p, low, text, self._surface.quiet, Weight.MEDIUM)

    def _ticks(self, p: QPainter, box: QRectF, picture: RulePicture, line_y: float, scale: float) -> None:
        """Write along the line as many as fit, none under a mark."""
        px, quiet = self.px(), self._surface.quiet
        widest = max((self._look.width(text, px, Weight.MEDIUM) for _, text in picture.ticks), default=0.0) + px
        taken, half = [(mark.at - picture.first) * scale for mark in picture.marks], px * HALF
        for at, text in thinned(picture.ticks, widest, scale):
            left = (at - picture.first) * scale
            wide = self._look.width(text, px, Weight.MEDIUM)
            p.setPen(QPen(QColor(self._surface.line), 1))
            p.drawLine(QLineF(box.left() + left, line_y - px * 0.4, box.left() + left, line_y + px * 0.75))
            if left + wide > box.width() or any(left - half < place < left + wide + 2 * half for place in taken):
                continue
            row = QRectF(box.left() + left + px * 0.3, line_y + px * (BAR / 2 + 0.1), wide + 2, px * LINE)
            self._write(p, row, text, quiet, Weight.MEDIUM)

    def _posts(
        self, p: QPainter, box: QRectF, posts: Sequence[tuple[float, RuleMark]], line_y: float, levels: int
    ) -> None:
        px, gap = self.px(), self.px() * 0.35
        places = [(x - box.left(), self._wide(mark)) for x, mark in posts]
        for (x, mark), placed in zip(posts, place_labels(places, box.width(), levels, gap), strict=True):
            ink = accent(self._look.theme, self._surface, mark.role)
            level = placed.level if placed is not None else 0
            top = line_y - px * (BAR / 2 + 0.1) - (level + 1) * px * LINE
            p.setPen(QPen(QColor(ink), 2 if mark.strong else 1))
            p.drawLine(QLineF(x, top + (px * 0.2 if placed else px * 0.9), x, line_y + px * BAR / 2))
            if placed is not None:
                row = QRectF(box.left() + placed.left, top, self._wide(mark), px * LINE)
                self._write(p, row, mark.text, ink, _weight(mark))

    def _marks(
        self, p: QPainter, box: QRectF, marks: Sequence[tuple[float, RuleMark]], line_y: float, room: RuleRoom
    ) -> None:
        """Triangles whose tips touch the line, their words below."""
        px, own_row = self.px(), room.ticks and room.under > 0
        gap = px * (0.35 if own_row else HALF + 0.2)
        below = line_y + px * (BAR / 2 + 0.1) + (px * LINE if own_row else 0)
        places = [(x - box.left(), self._wide(mark)) for x, mark in marks]
        placed_at = place_labels(places, box.width(), room.under, gap) if room.under else [None] * len(marks)
        for (x, mark), placed in zip(marks, placed_at, strict=True):
            ink = QColor(accent(self._look.theme, self._surface, mark.role))
            tip, half = line_y + px * (BAR / 2 + 0.05), px * HALF
            p.setPen(Qt.PenStyle.NoPen)
            p.setBrush(ink)
            p.drawPolygon(
                QPolygonF([QPointF(x, tip), QPointF(x + half, tip + 2 * half), QPointF(x - half, tip + 2 * half)])
            )
            if placed is None:
                continue
            top = below + placed.level * px * LINE
            if own_row or placed.level:
                p.setPen(QPen(ink, 1))
                p.drawLine(QLineF(x, tip + 2 * half, x, top + px * 1.1))
            row = QRectF(box.left() + placed.left, top, self._wide(mark), px * LINE)
            self._write(p, row, mark.text, ink.name(), _weight(mark))

    def _wide(self, mark: RuleMark) -> float:
        return self._look.width(mark.text, self.px(), _weight(mark)) + 2

    def _write(self, p: QPainter, row: QRectF, text: str, ink: str, weight: Weight) -> None:
        p.setFont(self._look.font(self.px(), weight))
        p.setPen(QColor(ink))
        flags = LEFT | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine | Qt.TextFlag.TextDontClip
        p.drawText(row, flags, text)


def _weight(mark: RuleMark) -> Weight:
    return Weight.SEMIBOLD if mark.strong else Weight.MEDIUM


def rooms(over: int, under: int, *, ticks: bool) -> list[RuleRoom]:
    """Ways to draw a rule, the roomiest first: it gives up words under the line, then over it, the ticks last."""
    found = [(over, n) for n in range(under, 0, -1)] + [(n, 0) for n in range(over, 0, -1)]
    return [*(RuleRoom(one, other, ticks) for one, other in found), RuleRoom(1, 0, ticks=False)]


def rule_parts(picture: RulePicture, place: QRect) -> list[Part]:
    """Return what a screen reader is told of a rule: its ticks, and the words along it."""
    along = sorted((*picture.posts, *picture.marks), key=lambda mark: mark.at)
    ticks = [Part(text, place) for _, text in picture.ticks]
    return [*ticks, *(Part(mark.text, place, Role.ListItem) for mark in along)]


class RuleFace(PaintedGround):
    """A plate with a heading and a rule; it keeps its room whatever there is to show."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, parent)
        self._on = "plate"
        self.picture = RulePicture()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_picture(self, picture: RulePicture) -> None:
        """Show this; nothing is drawn again when it is the same."""
        if picture != self.picture:
            self.picture = picture
            self.setAccessibleName(picture.spoken or "Rule")
            self.updateGeometry()
            self.update()

    def reader_role(self) -> Role:
        """A chart."""
        return Role.Chart

    def reader_parts(self) -> list[Part]:
        """Heading, ticks and words."""
        return [Part(self.picture.heading, self.rect()), *rule_parts(self.picture, self.rect())]

    def sizeHint(self) -> QSize:
        """All its words."""
        shown = self.picture
        drawn = self._painter().high(RuleRoom(shown.over, shown.under, bool(shown.ticks)))
        return QSize(self._look.sizes.touch * 3, round(self._head() + drawn + 2 * self._pad()))

    def minimumSizeHint(self) -> QSize:
        """The heading, or the least rule that there is."""
        high = round(self._head() + 2 * self._pad()) if self._head() else self.least_with_rule()
        return QSize(self._look.sizes.touch, high)

    def least_with_rule(self) -> int:
        """Least height, px, in which heading and rule are drawn."""
        return round(self._head() + self._painter().high(RuleRoom(1, 0, ticks=False)) + 2 * self._pad())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw plate, heading and as much of the rule as there is room for."""
        pad, head, painter = self._pad(), self._head(), self._painter()
        box = QRectF(self.rect()).adjusted(2.5 * pad, pad + head, -2.5 * pad, -pad)
        with QPainter(self) as p:
            draw_plate(p, QRectF(self.rect()), self.surface().ground, self.surface().line)
            if self.picture.heading:
                row = QRectF(2.5 * pad, pad, self.width() - 5 * pad, head or self.height() - 2 * pad)
                px = self._look.sizes.body_text
                text = TextBox(row.width(), row.height(), px, px, self._look.sizes.small_text)
                fitted = self._look.fitted(self.picture.heading, text, Weight.MEDIUM)
                draw_fitted(p, row, fitted, self._look, Weight.MEDIUM, self.surface().text, LEFT)
            over, under = painter.levels(self.picture, box.width())
            wished = rooms(over, under, ticks=bool(self.picture.ticks))
            room = next((room for room in wished if painter.high(room) <= box.height()), None)
            if room is not None:
                high = painter.high(room)
                painter.draw(p, box.adjusted(0, max(0.0, (box.height() - high) / 2), 0, 0), self.picture, room)

    def _painter(self) -> RulePainter:
        return RulePainter(self._look, self.surface())

    def _pad(self) -> float:
        return self._look.sizes.gap / 2

    def _head(self) -> float:
        """Height of the heading, px: two lines, whatever it says."""
        return self._look.sizes.body_text * (2 * LINE + 0.1) if self.picture.heading else 0.0
