"""The plate around the chart: what is counted above it, its numbers beside it, the chosen batch under it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout

from shopclock.screens.trends.sheet import Sheet
from shopclock.widgets.chart_picture import Band, Dot, Picture, Series
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.state import ChartState, Line, StageState
    from shopclock.widgets.chart import Chart
    from shopclock.widgets.look import Look


class ChartPlate(Plate):
    """Makes its chart when there is one to draw: that takes the chart library in."""

    pressed = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, "plate", parent)
        self.chart: Chart | None = None
        self.unit = Label(look, "small")
        self.numbers = Sheet(look)
        self.line = Label(look, "body", lines=2)
        self._left = QVBoxLayout()
        self._left.addWidget(self.unit)
        self._upper = QHBoxLayout()
        self._upper.addLayout(self._left, 1)
        self._upper.addWidget(self.numbers)
        self._column = QVBoxLayout(self)
        self._column.addLayout(self._upper, 1)
        self._column.addWidget(self.line)
        for label in (self.unit, self.line):
            self.carry(label)
        look.changed.connect(self._redress_rows)
        self._redress_rows()

    def render_state(self, chart: ChartState, state: StageState) -> None:
        """Draw chart, numbers and line."""
        self.unit.set_text(chart.unit)
        self.numbers.show_table(state.beside)
        self.line.set_text(state.line, "text" if state.chosen else "quiet")
        self._made().show_picture(picture(chart, state.chosen))
        self._redress_rows()

    def _made(self) -> Chart:
        if self.chart is None:
            from shopclock.widgets.chart import Chart

            self.chart = Chart(self._look)
            self.chart.pressed.connect(self.pressed)
            self._left.addWidget(self.chart, 1)
        return self.chart

    def _redress_rows(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, sizes.margin // 2, sizes.margin, sizes.margin // 2)
        self._upper.setSpacing(2 * sizes.gap)
        self.numbers.setFixedWidth(round(min(self.numbers.wide(), sizes.width * 0.3)))


def picture(chart: ChartState, chosen: str) -> Picture:
    """Return the chart as its widget takes it."""
    return Picture(tuple(map(_series, chart.lines)), chart.ticks, chart.first_x, chart.last_x, chosen)


def _series(line: Line) -> Series:
    dots = tuple(Dot(point.key, point.x, point.minutes, point.hollow) for point in line.points)
    return Series(line.name, line.note, line.role, line.shape, line.dashed, dots, _band(line))


def _band(line: Line) -> Band | None:
    if line.usually is None:
        return None
    u = line.usually
    return Band((u.first_x, u.last_x), (u.low, u.low), (u.median, u.median), (u.high, u.high))
