"""A chart in the colours of the theme. Importing this imports pyqtgraph: only where a chart is first needed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from shopclock.widgets.chart_marks import (
    GROUND,
    band_items,
    dots_item,
    note_px,
    ring_item,
    words_item,
    words_size,
)
from shopclock.widgets.chart_picture import Picture
from shopclock.widgets.chart_scale import even_ticks, nearest, spread, thinned, widened
from shopclock.widgets.drawing import measure
from shopclock.widgets.look import Weight

if TYPE_CHECKING:
    from PySide6.QtCore import QObject

    from shopclock.widgets.chart_picture import Dot
    from shopclock.widgets.look import Look

HEADROOM = 1.12
_PRESSES = (QEvent.Type.MouseButtonPress, QEvent.Type.MouseMove, QEvent.Type.MouseButtonDblClick)


class Chart(QWidget):
    """Dots, bands and words over a scale from 0. It neither zooms nor pans; `pressed` says which dot was pressed."""

    pressed = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._picture = Picture((), (), 0.0, 1.0)
        self._words: list[Any] = []
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
        for level, _ in self._levels()[1:]:
            self.plot.addItem(pg.InfiniteLine(level, angle=0, pen=pg.mkPen(self._look.surface(GROUND).sunk)))
        for series in self._picture.series:
            for item in band_items(series.band, series, self._look) if series.band else ():
                self.plot.addItem(item)
            self.plot.addItem(dots_item(series, self._look))
        for dot in self.dots():
            if dot.key == self._picture.chosen:
                self.plot.addItem(ring_item(dot, self._look))
        self._words = [words_item(series, self._look) for series in self._picture.series]
        for words in self._words:
            self.plot.addItem(words, ignoreBounds=True)
        self._fit()

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

    def _top(self) -> float:
        highs = [high for series in self._picture.series if series.band for high in series.band.highs]
        return HEADROOM * max([dot.y for dot in self.dots()] + highs, default=1.0)

    def _levels(self) -> tuple[tuple[float, str], ...]:
        return even_ticks(self._top() * 0.97)

    def _fit(self) -> None:
        """Leave room for the words at the right, keep them apart, and write as many names below as fit."""
        box = self.plot.getViewBox()
        width, height = max(1.0, box.width()), max(1.0, box.height())
        sizes = [words_size(words) for words in self._words]
        first, last = self._picture.first_x, self._picture.last_x
        end = widened(first, last, width, max((w for w, _ in sizes), default=0.0))
        box.setRange(xRange=(first, end), yRange=(0.0, self._top()), padding=0)
        self._place_words(last, self._top() / height, max((h for _, h in sizes), default=0.0))
        wide = measure(self._look, Weight.MEDIUM)
        widest = max((wide(text, note_px(self._look)) for _, text in self._picture.ticks), default=0.0) + 12
        self.plot.getAxis("bottom").setTicks([thinned(self._picture.ticks, widest, width / (end - first))])

    def _place_words(self, x: float, per_px: float, high: float) -> None:
        levels = [
            _level(series.band.middles if series.band else [d.y for d in series.dots])
            for series in self._picture.series
        ]
        half = high * per_px / 2
        for words, y in zip(self._words, spread(levels, high * per_px, half, self._top() - half), strict=True):
            words.setPos(x, y)


def _level(values: tuple[float, ...] | list[float]) -> float:
    """The height at which a series ends."""
    return values[-1] if values else 0.0
