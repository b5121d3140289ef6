"""The painted controls' common ground: plates with two cut corners, and text that fits."""

from __future__ import annotations

from functools import cache, partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from shopclock.views.fit import LINE_HEIGHT
from shopclock.widgets.accessible import Accessible

if TYPE_CHECKING:
    from shopclock.views.fit import FittedText, Measure
    from shopclock.widgets.style import Style, Weight
    from shopclock.widgets.theme import Surface


HATCH_MM = 2.0
"""The hatched edge of what spoils is so wide."""
LEFT = Qt.AlignmentFlag.AlignLeft
RIGHT = Qt.AlignmentFlag.AlignRight
CENTRE = Qt.AlignmentFlag.AlignHCenter


def cut_size(width: float, height: float) -> float:
    """Part that is cut off a corner, px."""
    return max(6.0, min(22.0, 0.14 * min(width, height)))


def plate_outline(rect: QRectF) -> QPolygonF:
    """The outline of a plate: top right and bottom left corner cut."""
    cut = cut_size(rect.width(), rect.height())
    left, top, right, bottom = rect.left(), rect.top(), rect.right(), rect.bottom()
    corners = [
        (left, top),
        (right - cut, top),
        (right, top + cut),
        (right, bottom),
        (left + cut, bottom),
        (left, bottom - cut),
    ]
    return QPolygonF([QPointF(x, y) for x, y in corners])


def draw_plate(p: QPainter, rect: QRectF, ground: str, line: str, width: float = 1.0, dashed: bool = False) -> None:
    """Fill a plate and scribe its outline inside `rect`."""
    inset = width / 2
    p.setRenderHint(QPainter.RenderHint.Antialiasing)
    p.setPen(QPen(QColor(line), width, Qt.PenStyle.DashLine if dashed else Qt.PenStyle.SolidLine))
    p.setBrush(QColor(ground))
    p.drawPolygon(plate_outline(rect.adjusted(inset, inset, -inset, -inset)))


def hatch_edge(p: QPainter, rect: QRectF, colour: str, wide: float) -> None:
    """Hatch a band along the edge of a plate: what spoils, told from what is stayed by without its colour."""
    p.save()
    inner = rect.adjusted(wide, wide, -wide, -wide)
    path = QPainterPath()
    path.addPolygon(plate_outline(rect))
    path.addPolygon(plate_outline(inner))
    p.setClipPath(path)
    p.setPen(QPen(QColor(colour), max(1.5, wide / 3)))
    step, high = wide * 1.6, rect.height()
    x = rect.left() - high
    while x < rect.right():
        p.drawLine(QPointF(x, rect.bottom()), QPointF(x + high, rect.top()))
        x += step
    p.restore()


def hatch_px(look: Style) -> int:
    """Width of a hatched edge: HATCH_MM, more on a large screen far away."""
    return max(look.sizes.px(HATCH_MM), round(10 * look.sizes.unit))


def measure(look: Style, weight: Weight) -> Measure:
    """The measure of text in the look's font at one weight."""
    return partial(look.width, weight=weight)


@cache
def _on_one_line(align: Qt.AlignmentFlag) -> int:
    """Flags that a line of text is written with; put together once, as Python takes a while to."""
    flags = align | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine | Qt.TextFlag.TextDontClip
    return int(flags.value)


def draw_fitted(
    p: QPainter, rect: QRectF, fitted: FittedText, look: Style, weight: Weight, colour: str, align: Qt.AlignmentFlag
) -> None:
    """Write the lines, one under the other, in the middle of the height of `rect`."""
    p.setFont(look.font(fitted.px, weight))
    p.setPen(QColor(colour))
    high = fitted.px * LINE_HEIGHT
    top = rect.center().y() - high * len(fitted.lines) / 2
    for number, line in enumerate(fitted.lines):
        row = QRectF(rect.left(), top + number * high, rect.width(), high)
        p.drawText(row, _on_one_line(align), line)


def draw_bar(p: QPainter, rect: QRectF, share: float, filled: str, track: str) -> None:
    """A progress line: how much of it is filled, 0 to 1."""
    faint = QColor(track)
    faint.setAlphaF(0.4)
    p.fillRect(rect, faint)
    p.fillRect(QRectF(rect.left(), rect.top(), rect.width() * max(0.0, min(1.0, share)), rect.height()), QColor(filled))


class PaintedGround(Accessible, QWidget):
    """A widget that paints itself with the look, and knows the role of the surface it stands on."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._on = "ground"
        look.changed.connect(self._redress)

    def set_surface(self, role: str) -> None:
        """The role of the plate this stands on."""
        if role != self._on:
            self._on = role
            self.update()

    def surface(self) -> Surface:
        """Surface that it is drawn with."""
        return self._look.surface(self._on)

    def _redress(self) -> None:
        self.updateGeometry()
        self.update()
