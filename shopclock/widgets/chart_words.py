"""What is written in a chart, and the marks that carry words: names beside series, uprights, what is ahead."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING, Any

import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFontMetricsF

from shopclock.widgets.chart_marks import GROUND, colour, dot_size, name_px, note_px
from shopclock.widgets.look import Weight

if TYPE_CHECKING:
    from shopclock.widgets.chart_picture import Ahead, Dot, Series, Upright
    from shopclock.widgets.look import Look

UNDER_ALPHA = 170
NAME_ROOM = 11
"""The widest name beside a chart, in font sizes."""


def words_item(series: Series, look: Look) -> Any:
    """Name and note of a series, to stand at its right end."""
    ink, quiet = colour(look, series.role), look.surface(GROUND).quiet
    name = (
        f'<div style="color:{ink}; font-size:{name_px(look)}px; font-weight:600">{escape(_short(series, look))}</div>'
    )
    note = f'<div style="color:{quiet}; font-size:{note_px(look)}px">{escape(series.note)}</div>'
    item = pg.TextItem(html=(name if series.name else "") + (note if series.note else ""), anchor=(0, 0.5))
    return _dressed(item, look)


def words_size(item: Any) -> tuple[float, float]:
    """Width and height of these words with the room around them, px."""
    box = item.boundingRect()
    return float(box.width()) + 6, float(box.height()) + 2


def line_item(upright: Upright, look: Look) -> Any:
    """The dashed line of an upright."""
    ink = QColor(colour(look, "green"))
    item = pg.InfiniteLine(upright.x, angle=90, pen=pg.mkPen(ink, width=2, style=Qt.PenStyle.DashLine))
    item.setZValue(5)
    return item


def upright_words(upright: Upright, look: Look) -> Any:
    """The words of an upright, to stand beside its upper end."""
    return _dressed(
        pg.TextItem(html=_said(upright.text, colour(look, "green"), look), anchor=(0, 0), fill=_under(look)), look
    )


def ahead_items(ahead: Ahead, look: Look) -> list[Any]:
    """The mark of what is ahead, and its range as a line with two ends."""
    ink, size = look.surface(GROUND).text, dot_size(look)
    pen = pg.mkPen(ink, width=2)
    ends = pg.PlotCurveItem([ahead.x, ahead.x], [ahead.low, ahead.high], pen=pen)
    caps = pg.ScatterPlotItem(size=size, symbol=_cap(), antialias=False, pxMode=True)
    caps.setData([ahead.x, ahead.x], [ahead.low, ahead.high], pen=pen)
    mark = pg.ScatterPlotItem(size=size * 1.2, symbol="d", antialias=True)
    mark.setData([ahead.x], [ahead.y], pen=pg.mkPen(look.surface(GROUND).ground, width=1.5), brush=pg.mkBrush(ink))
    for item, z in ((ends, 11), (caps, 11), (mark, 12)):
        item.setZValue(z)
    return [ends, caps, mark]


def ahead_words(ahead: Ahead, look: Look) -> Any:
    """The words of what is ahead, to stand under its range."""
    return _dressed(
        pg.TextItem(html=_said(ahead.text, look.surface(GROUND).text, look), anchor=(0.5, 0), fill=_under(look)), look
    )


def dot_words(dot: Dot, look: Look, *, under: bool) -> Any:
    """The words of a dot that is out of the ordinary, to stand under it where `under`, else over it."""
    item = pg.TextItem(
        html=_said(dot.text, colour(look, "red"), look), anchor=(0.5, -0.45 if under else 1.45), fill=_under(look)
    )
    return _dressed(item, look)


def _said(text: str, ink: str, look: Look) -> str:
    return f'<div style="color:{ink}; font-size:{note_px(look)}px; font-weight:600">{escape(text)}</div>'


def _under(look: Look) -> Any:
    """The ground under words that stand on lines, so that they can be read."""
    ground = QColor(look.surface(GROUND).ground)
    ground.setAlpha(UNDER_ALPHA)
    return pg.mkBrush(ground)


def _dressed(item: Any, look: Look) -> Any:
    item.setFont(look.font(note_px(look)))
    item.textItem.document().setDocumentMargin(2)
    item.setZValue(20)
    return item


def _short(series: Series, look: Look) -> str:
    """The name, cut where it would take the room of the chart."""
    font = QFontMetricsF(look.font(name_px(look), Weight.SEMIBOLD))
    return font.elidedText(series.name, Qt.TextElideMode.ElideRight, NAME_ROOM * name_px(look))


def _cap() -> Any:
    """A short level line, as the end of a range."""
    from PySide6.QtGui import QPainterPath

    path = QPainterPath()
    path.moveTo(-0.5, 0.0)
    path.lineTo(0.5, 0.0)
    return path
