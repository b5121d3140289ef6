"""A chart in the colours of the theme. Importing this imports pyqtgraph: only where a chart is first needed."""

from __future__ import annotations

from dataclasses import replace
from html import escape
from typing import TYPE_CHECKING, Any

import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent
from PySide6.QtWidgets import QGraphicsView, QVBoxLayout, QWidget

from shopclock.views.chart_picture import Picture
from shopclock.views.chart_scale import even_ticks, nearest, spread, thinned, top_of, widened
from shopclock.views.fit import LINE_HEIGHT, TextBox
from shopclock.widgets.accessible import Accessible, Part, Role
from shopclock.widgets.drawing import measure
from shopclock.widgets.style import Weight
from shopclock.widgets.theme import accent

if TYPE_CHECKING:
    from PySide6.QtCore import QObject
    from PySide6.QtGui import QFocusEvent, QKeyEvent

    from shopclock.views.chart_picture import Ahead, Band, Dot, Series, Upright
    from shopclock.views.chart_scale import Tick
    from shopclock.widgets.style import Style

BAND_ALPHA = 46
GROUND = "plate"
"""The surface that charts stand on."""


def colour(look: Style, role: str) -> str:
    """The colour of a series on the chart's ground."""
    return accent(look.theme, look.surface(GROUND), role)


def dot_size(look: Style) -> int:
    """Size of a mark, px."""
    return max(11, round(look.sizes.small_text * 0.85))


def dots_item(series: Series, look: Style) -> Any:
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


def ring_item(dot: Dot, look: Style) -> Any:
    """The ring around the mark that was pressed."""
    item = pg.ScatterPlotItem(size=2 * dot_size(look), symbol="o", antialias=True)
    item.setData([dot.x], [dot.y], pen=pg.mkPen(look.surface(GROUND).text, width=2), brush=pg.mkBrush(None))
    item.setZValue(9)
    return item


def band_items(band: Band, series: Series, look: Style) -> list[Any]:
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


def name_px(look: Style) -> int:
    """Font size of a series' name."""
    return max(13, look.sizes.small_text)


def note_px(look: Style) -> int:
    """Font size of the figures on a chart."""
    return max(12, round(look.sizes.small_text * 0.88))


UNDER_ALPHA = 170
NAME_ROOM, NAME_LINES = 11, 4
"""The widest name beside a chart, in font sizes; a longer one takes up to so many lines."""


def words_item(series: Series, look: Style, *, noted: bool = True) -> Any:
    """Name and note of a series, to stand at its right end; the name alone where it is not `noted`."""
    ink, quiet = colour(look, series.role), look.surface(GROUND).quiet
    name = "<br>".join(escape(line) for line in _name_lines(series, look))
    name = f'<div style="color:{ink}; font-size:{name_px(look)}px; font-weight:600">{name}</div>'
    note = f'<div style="color:{quiet}; font-size:{note_px(look)}px">{escape(series.note)}</div>'
    said = (name if series.name else "") + (note if series.note and (noted or not series.name) else "")
    return _dressed(pg.TextItem(html=said, anchor=(0, 0.5)), look)


def words_size(item: Any) -> tuple[float, float]:
    """Width and height of these words with the room around them, px."""
    box = item.boundingRect()
    return float(box.width()) + 6, float(box.height()) + 2


def line_item(upright: Upright, look: Style) -> Any:
    """The dashed line of an upright."""
    ink = QColor(colour(look, "green"))
    item = pg.InfiniteLine(upright.x, angle=90, pen=pg.mkPen(ink, width=2, style=Qt.PenStyle.DashLine))
    item.setZValue(5)
    return item


def upright_words(upright: Upright, look: Style) -> Any:
    """The words of an upright, to stand beside its upper end."""
    return _dressed(
        pg.TextItem(html=_said(upright.text, colour(look, "green"), look), anchor=(0, 0), fill=_under(look)), look
    )


def ahead_items(ahead: Ahead, look: Style) -> list[Any]:
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


def ahead_words(ahead: Ahead, look: Style) -> Any:
    """The words of what is ahead, to stand under its range."""
    return _dressed(
        pg.TextItem(html=_said(ahead.text, look.surface(GROUND).text, look), anchor=(0.5, 0), fill=_under(look)), look
    )


def dot_words(dot: Dot, look: Style, *, under: bool) -> Any:
    """The words of a dot that is out of the ordinary, to stand under it where `under`, else over it."""
    item = pg.TextItem(
        html=_said(dot.text, colour(look, "red"), look), anchor=(0.5, -0.45 if under else 1.45), fill=_under(look)
    )
    return _dressed(item, look)


def _said(text: str, ink: str, look: Style) -> str:
    return f'<div style="color:{ink}; font-size:{note_px(look)}px; font-weight:600">{escape(text)}</div>'


def _under(look: Style) -> Any:
    """The ground under words that stand on lines, so that they can be read."""
    ground = QColor(look.surface(GROUND).ground)
    ground.setAlpha(UNDER_ALPHA)
    return pg.mkBrush(ground)


def _dressed(item: Any, look: Style) -> Any:
    item.setFont(look.font(note_px(look)))
    item.textItem.document().setDocumentMargin(2)
    item.setZValue(20)
    return item


def _name_lines(series: Series, look: Style) -> tuple[str, ...]:
    """The name, in more lines where one would take the room of the chart."""
    px = name_px(look)
    box = TextBox(NAME_ROOM * px, NAME_LINES * px * LINE_HEIGHT, px, px, px)
    return look.fitted(series.name, box, Weight.SEMIBOLD).lines


def _cap() -> Any:
    """A short level line, as the end of a range."""
    from PySide6.QtGui import QPainterPath

    path = QPainterPath()
    path.moveTo(-0.5, 0.0)
    path.lineTo(0.5, 0.0)
    return path


APART_PX = 6
"""Between a line and its name."""


class Writing:
    """The words of one picture."""

    def __init__(self, look: Style) -> None:
        self._look = look
        self._names: list[Any] = []
        self._bare: list[Any] = []
        self._uprights: list[Any] = []
        self._ahead: Any = None
        self._dots: list[Any] = []

    def write(self, picture: Picture) -> list[Any]:
        """Make the words of a picture."""
        self._names = [words_item(series, self._look) for series in picture.series]
        self._bare = [words_item(series, self._look, noted=False) for series in picture.series]
        self._uprights = [upright_words(upright, self._look) for upright in picture.uprights]
        self._ahead = ahead_words(picture.ahead, self._look) if picture.ahead else None
        told = [dot for series in picture.series for dot in series.dots if dot.text]
        middle = (picture.low + top_of(picture)) / 2
        self._dots = [dot_words(dot, self._look, under=dot.y > middle) for dot in told]
        for item, dot in zip(self._dots, told, strict=True):
            item.setPos(dot.x, dot.y)
        return [*self._names, *self._bare, *self._uprights, *self._dots, *([self._ahead] if self._ahead else [])]

    def room(self) -> float:
        """Width of the names beside the chart, px."""
        return max((words_size(words)[0] + APART_PX for words in self._names), default=0.0)

    def place(self, picture: Picture, x_per_px: float, y_per_px: float, top: float) -> None:
        """Put the words where they belong."""
        self._place_names(picture, x_per_px, y_per_px, top)
        for words, upright in zip(self._uprights, picture.uprights, strict=True):
            words.setPos(upright.x + 6 * x_per_px, top)
        if self._ahead is not None and picture.ahead is not None:
            half = words_size(self._ahead)[0] / 2 * x_per_px
            x = max(picture.first_x + half, min(picture.ahead.x, picture.last_x - half))
            self._ahead.setPos(x, picture.ahead.low - 4 * y_per_px)

    def _place_names(self, picture: Picture, x_per_px: float, per_px: float, top: float) -> None:
        """Names beside the ends of their lines; where all have no room, without their notes."""
        room = top - picture.low
        noted = sum(words_size(words)[1] for words in self._names) * per_px <= room
        shown, others = (self._names, self._bare) if noted else (self._bare, self._names)
        highs = [words_size(words)[1] * per_px for words in shown]
        levels = spread([_level(s) for s in picture.series], highs, picture.low, top)
        for words, y in zip(shown, levels, strict=True):
            words.setPos(picture.last_x + APART_PX * x_per_px, y)
            words.setVisible(True)
        for words in others:
            words.setVisible(False)


def _level(series: Series) -> float:
    """The height at which a series ends."""
    values = series.band.middles if series.band else tuple(dot.y for dot in series.dots)
    return values[-1] if values else 0.0


RING_PX = 3
"""The edge of a chart that has the keyboard."""
_PRESSES = (QEvent.Type.MouseButtonPress, QEvent.Type.MouseMove, QEvent.Type.MouseButtonDblClick)


class Chart(Accessible, QWidget):
    """Dots, bands and words over a scale. It neither zooms nor pans.

    `pressed` says which dot was pressed, `pointed` which one a pointer is over: "" for none. With the keyboard on it,
    arrows go from dot to dot and press each once; Enter presses the one that is chosen again.
    """

    pressed = Signal(str)
    pointed = Signal(str)

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.picture = Picture((), (), 0.0, 1.0)
        self._writing = Writing(look)
        self._along: tuple[Tick, ...] = ()
        self.plot: Any = pg.PlotWidget()
        self.plot.setMouseEnabled(x=False, y=False)
        self.plot.setMenuEnabled(False)
        self.plot.hideButtons()
        for part in (self.plot, self.plot.viewport()):
            part.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._over = ""
        self.plot.viewport().setMouseTracking(True)
        self.plot.viewport().installEventFilter(self)
        self.plot.getViewBox().sigResized.connect(self._fit)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.plot)
        look.changed.connect(self._draw)
        self._draw()

    def copy_for(self, look: Style) -> Chart:
        """All of it, drawn with another look; the mark that was pressed has no ring."""
        made = Chart(look)
        made.resize(self.size())
        made.show_picture(replace(self.picture, chosen=""))
        return made

    def show_picture(self, picture: Picture) -> None:
        """Show this; nothing is drawn again when it is the same."""
        if picture != self.picture:
            self.picture = picture
            self._draw()

    def dots(self) -> list[Dot]:
        """All marks, series by series."""
        return [dot for series in self.picture.series for dot in series.dots]

    def place_of(self, dot: Dot) -> QPointF:
        """Place of a mark, px from the top left of the plot."""
        scene = self.plot.getViewBox().mapViewToScene(QPointF(dot.x, dot.y))
        return QPointF(self.plot.mapFromScene(scene))

    def reader_role(self) -> Role:
        """A chart."""
        return Role.Chart

    def reader_order(self, _shown: list[QWidget]) -> list[QWidget]:
        """Nothing of what draws it is told of."""
        return []

    def reader_parts(self) -> list[Part]:
        """Names and notes of the series, and what is written at lines and dots."""
        shown = self.picture
        said = [f"{series.name}, {series.note}".strip(", ") for series in shown.series]
        said += [text for ticks in (self._levels(), self._along) for _, text in ticks]
        said += [upright.text for upright in shown.uprights] + ([shown.ahead.text] if shown.ahead else [])
        return [Part(text, self.rect()) for text in (*said, *(dot.text for dot in self.dots()))]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows choose the next dot to that side, Home and End the first and the last, Enter presses it again."""
        dots = sorted((dot for dot in self.dots() if dot.key), key=lambda dot: (dot.x, dot.y))
        now = next((n for n, dot in enumerate(dots) if dot.key == self.picture.chosen), None)
        ways = {
            Qt.Key.Key_Right: 0 if now is None else now + 1,
            Qt.Key.Key_Left: len(dots) - 1 if now is None else now - 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: len(dots) - 1,
        }
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space) and now is not None:
            self.pressed.emit(dots[now].key)
        elif (there := ways.get(Qt.Key(event.key()))) is None or not dots:
            super().keyPressEvent(event)
        elif 0 <= there < len(dots) and there != now:
            self.pressed.emit(dots[there].key)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Be seen to have the keyboard."""
        super().focusInEvent(event)
        self._ring(on=self._look.by_keyboard)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Have it no more."""
        super().focusOutEvent(event)
        self._ring(on=False)

    def _ring(self, *, on: bool) -> None:
        edge = f"border: {RING_PX}px solid {self._look.surface(GROUND).text}" if on else "border: 0"
        self.plot.setStyleSheet(f"QGraphicsView {{ {edge}; }}")

    def draw_shapes(self, *, on: bool) -> None:
        """Draw marks and ground as shapes, for a picture whose lines are kept; on the screen they are stamped."""
        kept, none = QGraphicsView.CacheModeFlag.CacheBackground, QGraphicsView.CacheModeFlag.CacheNone
        self.plot.setCacheMode(none if on else kept)
        for item in self.plot.getPlotItem().items:
            if isinstance(item, pg.ScatterPlotItem):
                item.setExportMode(on)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A press anywhere near a mark chooses it, at the release; the plot itself gets no presses to drag by."""
        if event.type() == QEvent.Type.Leave:
            self._point("")
        if event.type() == QEvent.Type.MouseMove and isinstance(event, QMouseEvent) and not event.buttons():
            found = self._near(event.position(), 1.2 * dot_size(self._look))
            self._point(found.key if found is not None else "")
        if event.type() in _PRESSES:
            return True
        if event.type() != QEvent.Type.MouseButtonRelease or not isinstance(event, QMouseEvent):
            return super().eventFilter(watched, event)
        self._choose(event.position())
        return True

    def _near(self, at: QPointF, within: float) -> Dot | None:
        """Return the mark that is nearest to a place, px; nothing when none is near enough."""
        dots = self.dots()
        places = [(place.x(), place.y()) for place in map(self.place_of, dots)]
        found = nearest(places, at.x(), at.y(), within)
        return dots[found] if found is not None else None

    def _choose(self, at: QPointF) -> None:
        found = self._near(at, self._look.sizes.touch * 0.6)
        if found is not None:
            self.pressed.emit(found.key)

    def _point(self, key: str) -> None:
        if key != self._over:
            self._over = key
            self.pointed.emit(key)

    def _draw(self) -> None:
        self.plot.clear()
        self._dress()
        for level, _ in self._levels()[0 if self.picture.low else 1 :]:
            self.plot.addItem(pg.InfiniteLine(level, angle=0, pen=pg.mkPen(self._look.surface(GROUND).sunk)))
        for item in self._items():
            self.plot.addItem(item)
        for words in self._writing.write(self.picture):
            self.plot.addItem(words, ignoreBounds=True)
        self._fit()

    def _items(self) -> list[Any]:
        """All marks of the picture."""
        shown, items = self.picture, []
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
        top, low = top_of(self.picture), self.picture.low
        ticks = even_ticks(low + (top - low) * 0.97, low=low)
        return tuple((at, f"{text} %") for at, text in ticks) if self.picture.percent else ticks

    def _fit(self) -> None:
        """Leave room for the words at the right, keep them apart, and write as many names below as fit."""
        box, shown = self.plot.getViewBox(), self.picture
        width, height = max(1.0, box.width()), max(1.0, box.height())
        top = top_of(shown)
        end = widened(shown.first_x, shown.last_x, width, self._writing.room())
        box.setRange(xRange=(shown.first_x, end), yRange=(shown.low, top), padding=0)
        self._writing.place(shown, (end - shown.first_x) / width, (top - shown.low) / height, top)
        self._along = self._below(width, end)
        self.plot.getAxis("bottom").setTicks([self._along])

    def _below(self, width: float, end: float) -> tuple[Tick, ...]:
        """Marks along the bottom: names as many as fit, else figures."""
        shown, px = self.picture, note_px(self._look)
        if shown.ticks is None:
            return even_ticks(shown.last_x, max(3, min(9, round(width / (6 * px)))), shown.first_x)
        wide = measure(self._look, Weight.MEDIUM)
        widest = max((wide(text, px) for _, text in shown.ticks), default=0.0) + 12
        return thinned(shown.ticks, widest, width / (end - shown.first_x))
