"""The plate around the chart: what is counted upward above it, what to the right under it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout

from shopclock.widgets.drawing import CENTRE
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from shopclock.widgets.chart import Chart
    from shopclock.widgets.chart_picture import Picture
    from shopclock.widgets.look import Look


class ChartPlate(Plate):
    """Makes its chart when there is one to draw: that takes the chart library in."""

    pressed = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(look, "plate", parent)
        self.chart: Chart | None = None
        self.unit, self.below = Label(look, "small"), Label(look, "small")
        self.below.set_align(CENTRE)
        self._column = QVBoxLayout(self)
        self._column.setSpacing(0)
        for label in (self.unit, self.below):
            self.carry(label)
            self._column.addWidget(label)
        look.changed.connect(self._redress_rows)
        self._redress_rows()

    def show_picture(self, picture: Picture) -> None:
        """Draw a chart with its words."""
        self.unit.set_text(picture.unit)
        self.below.set_text(picture.below)
        self.below.setVisible(bool(picture.below))
        self._made().show_picture(picture)

    def _made(self) -> Chart:
        if self.chart is None:
            from shopclock.widgets.chart import Chart

            self.chart = Chart(self._look)
            self.chart.pressed.connect(self.pressed)
            self._column.insertWidget(1, self.chart, 1)
        return self.chart

    def _redress_rows(self) -> None:
        margin = self._look.sizes.margin
        self._column.setContentsMargins(margin, margin // 2, margin, margin // 2)
