"""The plate around the chart: what is counted upward above it, what to the right under it, and the pressed mark."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout

from shopclock.widgets.drawing import CENTRE, RIGHT
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.screens.trends.state import StageState
    from shopclock.views.chart_picture import Picture
    from shopclock.widgets.chart import Chart
    from shopclock.widgets.style import Style


class ChartPlate(Plate):
    """Makes its chart when there is one to draw: that takes the chart library in."""

    pressed = Signal(str)

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, "plate", parent)
        self.chart: Chart | None = None
        self.unit, self.line, self.below = (Label(look, "small") for _ in range(3))
        self.unit.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.line.set_align(RIGHT)
        self.below.set_align(CENTRE)
        self._top = QHBoxLayout()
        self._top.addWidget(self.unit)
        self._top.addWidget(self.line, 1)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        self._column.addLayout(self._top)
        self._column.addWidget(self.below)
        for label in (self.unit, self.line, self.below):
            self.carry(label)
        look.changed.connect(self._redress_rows)
        self._redress_rows()

    def show_picture(self, picture: Picture, state: StageState) -> None:
        """Draw a chart with its words."""
        self.line.set_text(state.line, "text" if state.review else "quiet")
        self.unit.set_text(picture.unit)
        self.below.set_text(picture.below)
        self.below.setVisible(bool(picture.below))
        chart = self._made()
        chart.setAccessibleName(f"{state.sentence} {state.more}".strip())
        chart.show_picture(picture)

    def _made(self) -> Chart:
        if self.chart is None:
            from shopclock.widgets.chart import Chart

            self.chart = Chart(self._look)
            self.chart.pressed.connect(self.pressed)
            self._column.insertWidget(1, self.chart, 1)
        return self.chart

    def _redress_rows(self) -> None:
        margin = self._look.sizes.margin
        self._top.setSpacing(2 * self._look.sizes.gap)
        self._column.setContentsMargins(margin, margin // 2, margin, margin // 2)
