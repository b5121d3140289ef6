"""The page of one stage: the sentence, how to look at it, the chart with its numbers, or the table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from shopclock.screens.trends.chart_plate import ChartPlate
from shopclock.screens.trends.heading import Heading
from shopclock.screens.trends.row import ButtonRow
from shopclock.screens.trends.state import View
from shopclock.screens.trends.table_pages import TablePages
from shopclock.widgets.button_face import ButtonState

if TYPE_CHECKING:
    from shopclock.screens.trends.state import StageState
    from shopclock.widgets.look import Look


class StagePage(QWidget):
    """Says what was pressed: a way of looking, the way back, or a point in the chart."""

    back_pressed = Signal()
    view_pressed = Signal(str)
    point_pressed = Signal(str)

    def __init__(self, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.sentence = Heading(look, "sentence")
        self.more = Heading(look, "quiet")
        self.views = ButtonRow(look, [view.value for view in View])
        self.back = ButtonRow(look, ["all stages"])
        self.chart = ChartPlate(look)
        self.table = TablePages(look)
        self._stack = QStackedWidget()
        self._lay_out()
        self.views.pressed.connect(self.view_pressed)
        self.back.pressed.connect(lambda _key: self.back_pressed.emit())
        self.chart.pressed.connect(self.point_pressed)

    def render_state(self, state: StageState, back: str) -> None:
        """Draw this; `back` is what the way back says."""
        self.sentence.set_text(state.sentence)
        self.more.set_text(state.more)
        self.more.setVisible(bool(state.more))
        self.back.show_states({"all stages": ButtonState(back)})
        self.views.show_states({view: ButtonState(view.value, checked=view is state.view) for view in View})
        self._stack.setCurrentWidget(self.chart if state.chart else self.table)
        if state.chart:
            self.table.turners.hide()
            self.chart.render_state(state.chart, state)
        else:
            self.table.show_table(state.table)

    def _lay_out(self) -> None:
        self._stack.addWidget(self.chart)
        self._stack.addWidget(self.table)
        buttons = QHBoxLayout()
        buttons.addWidget(self.views)
        buttons.addStretch(1)
        buttons.addWidget(self.table.turners)
        buttons.addWidget(self.back)
        self._buttons = buttons
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.sentence)
        self._column.addWidget(self.more)
        self._column.addLayout(buttons)
        self._column.addWidget(self._stack, 1)
        self._look.changed.connect(self._redress)
        self._redress()

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap)
        self._buttons.setSpacing(sizes.gap)
