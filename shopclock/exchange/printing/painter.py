"""Draws a page: texts, lines, boxes, in dots of whatever it is drawn on. What stands where was settled before."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPen

from shopclock.exchange.paper.page import Box, Line, PaperFill, Text

if TYPE_CHECKING:
    from PySide6.QtGui import QPainter

    from shopclock.exchange.paper.page import PaperPage

FAMILY = "Inter"
HATCH_MM = 1.1
"""From one line of a filling to the next."""
HATCH_PEN_MM = 0.16
GROUNDS = {PaperFill.SOLID: 0x3A3A3A, PaperFill.PALE: 0xDCDCDC}
_HATCHED = {
    PaperFill.RISING: ((1, -1),),
    PaperFill.FALLING: ((1, 1),),
    PaperFill.CROSS: ((1, -1), (1, 1)),
    PaperFill.UPRIGHT: ((0, 1),),
}
"""Which way the lines of a filling go: so far to the right for so far down."""


def draw(painter: QPainter, page: PaperPage, dots_mm: float) -> None:
    """Draw a page on what has so many dots for a millimetre."""
    for item in page.items:
        if isinstance(item, Text):
            _text(painter, item, dots_mm)
        elif isinstance(item, Line):
            painter.setPen(_pen(item.pen_mm, dots_mm))
            ends = QPointF(item.x_mm, item.y_mm) * dots_mm, QPointF(item.to_x_mm, item.to_y_mm) * dots_mm
            painter.drawLine(QLineF(*ends))
        else:
            _box(painter, item, dots_mm)


def _pen(pen_mm: float, dots_mm: float) -> QPen:
    pen = QPen(QColor(Qt.GlobalColor.black), pen_mm * dots_mm)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    return pen


def _text(painter: QPainter, item: Text, dots_mm: float) -> None:
    """Draw text upright in the middle of its box, pressed together where a font is wider than was reckoned."""
    font = QFont(FAMILY)
    font.setPixelSize(max(1, round(item.size_mm * dots_mm)))
    font.setWeight(QFont.Weight.Bold if item.bold else QFont.Weight.Medium)
    font.setFeature(QFont.Tag("calt"), 0)  # dashes raised between figures can't be searched for in a PDF
    metrics = QFontMetricsF(font, painter.device())
    wide, room = metrics.horizontalAdvance(item.text), item.width_mm * dots_mm
    pressed = min(1.0, room / wide) if wide else 1.0
    base = (item.y_mm + item.height_mm / 2) * dots_mm + metrics.capHeight() / 2
    painter.save()
    painter.translate(item.x_mm * dots_mm + (room - wide * pressed) * item.across, base)
    painter.scale(pressed, 1.0)
    painter.setFont(font)
    painter.setPen(QColor(Qt.GlobalColor.black))
    painter.drawText(QPointF(0.0, 0.0), item.text)
    painter.restore()


def _box(painter: QPainter, item: Box, dots_mm: float) -> None:
    place = QRectF(item.x_mm * dots_mm, item.y_mm * dots_mm, item.width_mm * dots_mm, item.height_mm * dots_mm)
    if item.fill in GROUNDS:
        painter.fillRect(place, QColor(GROUNDS[item.fill]))
    for way in _HATCHED.get(item.fill, ()):
        _hatch(painter, place, way, dots_mm)
    if item.pen_mm:
        painter.setPen(_pen(item.pen_mm, dots_mm))
        painter.drawRect(place)


def _hatch(painter: QPainter, place: QRectF, way: tuple[int, int], dots_mm: float) -> None:
    """Draw parallel lines in a box; a pattern of Qt's own would be as small as the dots of the printer."""
    right, down = way
    high, step = place.height(), HATCH_MM * dots_mm * (1.4 if right else 1.0)
    lean = high * right
    painter.save()
    painter.setClipRect(place)
    painter.setPen(_pen(HATCH_PEN_MM, dots_mm))
    x = place.left() - lean + step / 2
    while x < place.right():
        top, low = (x, x + lean) if down > 0 else (x + lean, x)
        painter.drawLine(QLineF(top, place.top(), low, place.bottom()))
        x += step
    painter.restore()
