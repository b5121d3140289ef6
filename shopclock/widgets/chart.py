"""A chart in the colours of the theme. Importing this imports pyqtgraph: only where a chart is first needed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QGraphicsView, QVBoxLayout, QWidget

from shopclock.views.chart_picture import Picture
from shopclock.views.chart_scale import even_ticks, nearest, thinned, top_of, widened
from shopclock.widgets.chart_marks import (
    GROUND,
    Writing,
    ahead_items,
    band_items,
    dots_item,
    line_item,
    note_px,
    ring_item,
)
from shopclock.widgets.drawing import measure
from shopclock.widgets.style import Weight

if TYPE_CHECKING:
    from PySide6.QtCore import QObject

    from shopclock.views.chart_picture import Dot
    from shopclock.views.chart_scale import Tick
    from shopclock.widgets.style import Style

_PRESSES = (QEvent.Type.MouseButtonPress, QEvent.Type.MouseMove, QEvent.Type.MouseButtonDblClick)


class Chart(QWidget):
    """Dots, bands and words over a scale. It neither zooms nor pans; `pressed` says which dot was pressed."""

    pressed = Signal(str)

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._picture = Picture((), (), 0.0, 1.0)
        self._writing = Writing(look)
        self.plot: Any = pg.PlotWidget()
        self.plot.setMouseEnabled(x=False, y=False)
        self.plot.setMenuEnabled(False)
        self.plot.hideButtons()
        self.plot.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.plot.viewport().installEventFilter(self)
        self.plot.getViewBox().sigResized.connect(self._fit)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.plot)
        look.changed.connect(self._draw)
        self._draw()

    @property
    def picture(self) -> Picture:
        """What it shows now."""
        return self._picture

    def show_picture(self, picture: Picture) -> None:
        """Show this; nothing is drawn again when it is the same."""
        if picture != self._picture:
            self._picture = picture
            self._draw()

    def dots(self) -> list[Dot]:
        """All marks, series by series."""
        return [dot for series in self._picture.series for dot in series.dots]

    def place_of(self, dot: Dot) -> QPointF:
        """Where a mark stands, px from the top left of the plot."""
        scene = self.plot.getViewBox().mapViewToScene(QPointF(dot.x, dot.y))
        return QPointF(self.plot.mapFromScene(scene))

    def draw_shapes(self, *, on: bool) -> None:
        """Draw marks and ground as shapes, for a picture whose lines are kept; on the screen they are stamped."""
        kept, none = QGraphicsView.CacheModeFlag.CacheBackground, QGraphicsView.CacheModeFlag.CacheNone
        self.plot.setCacheMode(none if on else kept)
        for item in self.plot.getPlotItem().items:
            if isinstance(item, pg.ScatterPlotItem):
                item.setExportMode(on)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A press anywhere near a mark chooses it, at the release; the plot itself gets no presses to drag by."""
        if event.type() in _PRESSES:
            return True
        if event.type() != QEvent.Type.MouseButtonRelease or not isinstance(event, QMouseEvent):
            return super().eventFilter(watched, event)
        self._choose(event.position())
        return True

    def _choose(self, at: QPointF) -> None:
        dots = self.dots()
        places = [(place.x(), place.y()) for place in map(self.place_of, dots)]
        found = nearest(places, at.x(), at.y(), self._look.sizes.touch * 0.6)
        if found is not None:
            self.pressed.emit(dots[found].key)

    def _draw(self) -> None:
        self.plot.clear()
        self._dress()
        for level, _ in self._levels()[0 if self._picture.low else 1 :]:
            self.plot.addItem(pg.InfiniteLine(level, angle=0, pen=pg.mkPen(self._look.surface(GROUND).sunk)))
        for item in self._items():
            self.plot.addItem(item)
        for words in self._writing.write(self._picture):
            self.plot.addItem(words, ignoreBounds=True)
        self._fit()

    def _items(self) -> list[Any]:
        """All marks of the picture."""
        shown, items = self._picture, []
        for series in shown.series:
            items += band_items(series.band, series, self._look) if series.band else []
            items.append(dots_item(series, self._look))
        items += [ring_item(dot, self._look) for dot in self.dots() if dot.key and dot.key == shown.chosen]
        items += [line_item(upright, self._look) for upright in shown.uprights]
        return items + (ahead_items(shown.ahead, self._look) if shown.ahead else [])

    def _dress(self) -> None:
        """Axes and ground in the colours and sizes of the look."""
        surface, px = self._look.surface(GROUND), note_px(self._look)
        self.plot.setBackground(surface.ground)
        wide = measure(self._look, Weight.MEDIUM)
        left, bottom = self.plot.getAxis("left"), self.plot.getAxis("bottom")
        for axis in (left, bottom):
            axis.setPen(pg.mkPen(surface.line))
            axis.setTextPen(pg.mkPen(surface.quiet))
            axis.setTickFont(self._look.font(px))
            axis.setStyle(tickLength=-5, tickTextOffset=6, autoExpandTextSpace=False)
        left.setWidth(round(max(wide(text, px) for _, text in self._levels())) + 14)
        bottom.setHeight(round(px * 1.3) + 8)
        left.setTicks([self._levels()])

    def _levels(self) -> tuple[Tick, ...]:
        top, low = top_of(self._picture), self._picture.low
        ticks = even_ticks(low + (top - low) * 0.97, low=low)
        return tuple((at, f"{text} %") for at, text in ticks) if self._picture.percent else ticks

    def _fit(self) -> None:
        """Leave room for the words at the right, keep them apart, and write as many names below as fit."""
        box, shown = self.plot.getViewBox(), self._picture
        width, height = max(1.0, box.width()), max(1.0, box.height())
        top = top_of(shown)
        end = widened(shown.first_x, shown.last_x, width, self._writing.room())
        box.setRange(xRange=(shown.first_x, end), yRange=(shown.low, top), padding=0)
        self._writing.place(shown, (end - shown.first_x) / width, (top - shown.low) / height, top)
        self.plot.getAxis("bottom").setTicks([self._below(width, end)])

    def _below(self, width: float, end: float) -> tuple[Tick, ...]:
        """What is written along the bottom: names as many as fit, else figures."""
        shown, px = self._picture, note_px(self._look)
        if shown.ticks is None:
            return even_ticks(shown.last_x, max(3, min(9, round(width / (6 * px)))), shown.first_x)
        wide = measure(self._look, Weight.MEDIUM)
        widest = max((wide(text, px) for _, text in shown.ticks), default=0.0) + 12
        return thinned(shown.ticks, widest, width / (end - shown.first_x))
