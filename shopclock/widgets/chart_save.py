"""A chart as a picture to take along: PNG at twice its size, or SVG, whose lines can be made as large as a wall."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Protocol, runtime_checkable

from PySide6.QtCore import QBuffer, QIODevice, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QImage, QPainter, QRegion
from PySide6.QtWidgets import QWidget

from shopclock.places import resource
from shopclock.widgets.style import Style
from shopclock.widgets.svg_final import final
from shopclock.widgets.theme import read_theme

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PySide6.QtGui import QPaintDevice

SHARP = 2
"""Dots of a PNG for each pixel on the screen."""
PER_METRE = round(300 / 0.0254)
"""Marked as 300 dots an inch, so that a page takes it at the size of print."""
ROLE = "plate"
_WRAPPED = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)


@runtime_checkable
class SavedChart(Protocol):
    """A chart whose marks are little pictures on the screen and can be drawn as shapes instead."""

    def draw_shapes(self, *, on: bool) -> None:
        """Draw marks as shapes, or as it is quick on the screen."""


@runtime_checkable
class Copied(Protocol):
    """A chart that can be drawn once more with another look, whole."""

    def copy_for(self, look: Style) -> QWidget:
        """All of it, drawn with another look."""


@contextmanager
def for_paper(widget: QWidget, look: Style) -> Iterator[tuple[QWidget, Style]]:
    """Give a chart once more in the light colours of paper, with its look, whatever is on the screen."""
    if not isinstance(widget, Copied):
        yield widget, look
        return
    paper = Style(read_theme(resource("theme.toml"), "paper"), look.sizes, look.family)
    copy = widget.copy_for(paper)
    copy.setAttribute(Qt.WidgetAttribute.WA_DontShowOnScreen)
    copy.show()
    try:
        yield copy, paper
    finally:
        copy.close()
        copy.deleteLater()


def png_of(widget: QWidget, look: Style, heading: str) -> bytes:
    """Return a chart as it is shown now, under a heading, as PNG."""
    image = QImage(_size(widget, look, heading) * SHARP, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(SHARP)
    for set_density in (image.setDotsPerMeterX, image.setDotsPerMeterY):
        set_density(PER_METRE)
    _draw(widget, look, heading, image)
    buffer = _buffer()
    image.save(buffer, "PNG")  # type: ignore[call-overload]  # the stubs ask for bytes, Qt takes the text
    return bytes(buffer.data().data())


def svg_of(widget: QWidget, look: Style, heading: str) -> bytes:
    """Return the same as SVG; nothing in it is a picture of dots."""
    from PySide6.QtSvg import QSvgGenerator

    size, buffer = _size(widget, look, heading), _buffer()
    made = QSvgGenerator()
    made.setOutputDevice(buffer)
    made.setResolution(96)  # others scale the width of pens
    made.setSize(size)
    made.setViewBox(QRect(QPoint(0, 0), size))
    made.setTitle(heading)
    _draw(widget, look, heading, made)
    return final(bytes(buffer.data().data()))


def _buffer() -> QBuffer:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    return buffer


def _top(widget: QWidget, look: Style, heading: str) -> int:
    """Return where the chart begins under the heading, px."""
    gap = look.sizes.gap
    if not heading:
        return gap
    text = QFontMetrics(_font(look)).boundingRect(QRect(0, 0, widget.width(), 10_000), _WRAPPED, heading)
    return text.height() + 2 * gap


def _font(look: Style) -> QFont:
    return look.font(look.sizes.body_text)


def _size(widget: QWidget, look: Style, heading: str) -> QSize:
    """Return the size of the picture: the chart, the heading, a margin around them."""
    gap = look.sizes.gap
    return QSize(widget.width() + 2 * gap, widget.height() + _top(widget, look, heading) + gap)


def _draw(widget: QWidget, look: Style, heading: str, onto: QPaintDevice) -> None:
    surface, gap, top = look.surface(ROLE), look.sizes.gap, _top(widget, look, heading)
    with _as_shapes(widget), QPainter(onto) as p:
        p.setRenderHint(QPainter.RenderHint.Antialiasing)
        p.fillRect(QRect(QPoint(0, 0), _size(widget, look, heading)), QColor(surface.ground))
        p.setFont(_font(look))
        p.setPen(QColor(surface.text))
        p.drawText(QRect(gap, gap, widget.width(), top), _WRAPPED, heading)
        widget.render(p, QPoint(gap, top), QRegion(), QWidget.RenderFlag.DrawChildren)  # its window's ground left out


@contextmanager
def _as_shapes(widget: QWidget) -> Iterator[None]:
    charts = [one for one in (widget, *widget.findChildren(QWidget)) if isinstance(one, SavedChart)]
    for chart in charts:
        chart.draw_shapes(on=True)
    try:
        yield
    finally:
        for chart in charts:
            chart.draw_shapes(on=False)
