"""The marks of one series in a chart: dots, band, middle line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pyqtgraph as pg
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor

from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from shopclock.widgets.chart_picture import Band, Dot, Series
    from shopclock.widgets.look import Look

BAND_ALPHA = 46
GROUND = "plate"
"""The surface that charts stand on."""


def colour(look: Look, role: str) -> str:
    """The colour of a series on the chart's ground."""
    return accent(look.theme, look.surface(GROUND), role)


def dot_size(look: Look) -> int:
    """How large a mark is, px."""
    return max(11, round(look.sizes.small_text * 0.85))


def dots_item(series: Series, look: Look) -> Any:
    """The dots: filled with a dark edge, or hollow."""
    ground, ink = QColor(look.surface(GROUND).ground), QColor(colour(look, series.role))
    item = pg.ScatterPlotItem(size=dot_size(look), symbol=series.shape, antialias=True)
    hollow, filled = pg.mkPen(ink, width=2), pg.mkPen(ground, width=1.5)
    told, outline = QColor(colour(look, "red")), pg.mkPen(colour(look, "straw"), width=3)
    item.setData(
        [dot.x for dot in series.dots],
        [dot.y for dot in series.dots],
        data=[dot.key for dot in series.dots],
        pen=[hollow if dot.hollow else outline if dot.outlined else filled for dot in series.dots],
        brush=[pg.mkBrush(ground if dot.hollow else told if dot.text else ink) for dot in series.dots],
    )
    item.setZValue(10)
    return item


def ring_item(dot: Dot, look: Look) -> Any:
    """The ring around the mark that was pressed."""
    item = pg.ScatterPlotItem(size=2 * dot_size(look), symbol="o", antialias=True)
    item.setData([dot.x], [dot.y], pen=pg.mkPen(look.surface(GROUND).text, width=2), brush=pg.mkBrush(None))
    item.setZValue(9)
    return item


def band_items(band: Band, series: Series, look: Look) -> list[Any]:
    """The range as a tinted band with scribed edges, and the line in its middle."""
    ink = QColor(colour(look, series.role))
    tint, edge = QColor(ink), QColor(ink)
    tint.setAlpha(BAND_ALPHA // 2 if series.dashed else BAND_ALPHA)
    edge.setAlpha(3 * BAND_ALPHA)
    low, high = (pg.PlotCurveItem(list(band.xs), list(ys), pen=pg.mkPen(edge)) for ys in (band.lows, band.highs))
    style = Qt.PenStyle.DashLine if series.dashed else Qt.PenStyle.SolidLine
    middle = pg.PlotCurveItem(
        list(band.xs), list(band.middles), pen=pg.mkPen(ink, width=2, style=style), antialias=True
    )
    if band.lows == band.highs:
        return [middle]
    return [pg.FillBetweenItem(low, high, brush=pg.mkBrush(tint)), low, high, middle]


def name_px(look: Look) -> int:
    """Font size of a series' name."""
    return max(13, look.sizes.small_text)


def note_px(look: Look) -> int:
    """Font size of the figures on a chart."""
    return max(12, round(look.sizes.small_text * 0.88))
