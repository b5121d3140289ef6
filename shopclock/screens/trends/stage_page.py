"""The page of one stage: the sentence, how to look at it, and the chart, the table or the facts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from shopclock.screens.trends.chart_plate import ChartPlate
from shopclock.screens.trends.heading import Heading
from shopclock.screens.trends.row import ButtonRow
from shopclock.screens.trends.state import View
from shopclock.screens.trends.table_pages import FactPages, TablePages
from shopclock.views.button import Button
from shopclock.widgets.drawing import CENTRE
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate

if TYPE_CHECKING:
    from shopclock.screens.trends.state import StageState
    from shopclock.widgets.style import Style

OPTIONS = ("own", "pattern", "average", "method")


class TrendStagePage(QWidget):
    """Says what was pressed: a way of looking, another way to show it, a mark, its Review, saving, or the way back."""

    back_pressed = Signal()
    view_pressed = Signal(str)
    option_pressed = Signal(str)
    point_pressed = Signal(str)
    review_pressed = Signal()
    save_pressed = Signal()

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.sentence, self.more = Heading(look, "sentence"), Heading(look, "quiet")
        self.views = ButtonRow(look, [view.value for view in View])
        self.back, self.review = ButtonRow(look, ["all stages"]), ButtonRow(look, ["review"])
        self.options, self.save = ButtonRow(look, OPTIONS), ButtonRow(look, ["save"])
        self.nothing, self.line = Plate(look), Label(look, "body", lines=2)
        self.chart, self.table = ChartPlate(look), TablePages(look)
        self.facts = FactPages(look)
        self._stack = QStackedWidget()
        self._lay_out()
        self._connect()
        look.changed.connect(self._redress)
        self._redress()

    def render_state(self, state: StageState, back: str) -> None:
        """Draw this; `back` is what the way back says."""
        self.sentence.set_text(state.sentence)
        self.more.set_text(state.more)
        self.more.setVisible(bool(state.more))
        self.back.show_states({"all stages": Button(back)})
        self.views.show_states({view: Button(text, checked=view is state.view) for view, text in state.views})
        self.options.show_states({option.key: Button(option.text) for option in state.options})
        self.save.show_states({"save": Button("Save the chart")} if state.picture is not None else {})
        self.review.show_states({"review": Button(state.review, role="primary")} if state.review else {})
        self.line.set_text(state.line, "quiet")
        self._show_body(state)

    def _show_body(self, state: StageState) -> None:
        for pages in (self.table, self.facts):
            pages.turners.hide()
        if state.picture is not None:
            self._stack.setCurrentWidget(self.chart)
            self.chart.show_picture(state.picture, state)
        elif state.table is not None:
            self._stack.setCurrentWidget(self.table)
            self.table.show_table(state.table)
        elif state.facts:
            self._stack.setCurrentWidget(self.facts)
            self.facts.show_facts(state.facts)
        else:
            self._stack.setCurrentWidget(self.nothing)

    def _lay_out(self) -> None:
        self.nothing.carry(self.line)
        self.line.set_align(CENTRE)
        QVBoxLayout(self.nothing).addWidget(self.line)
        for page in (self.chart, self.table, self.facts, self.nothing):
            self._stack.addWidget(page)
        self._views = QHBoxLayout()
        self._views.addWidget(self.views)
        self._views.addStretch(1)
        self._bottom = QHBoxLayout()
        self._bottom.addWidget(self.back)
        self._bottom.addWidget(self.save)
        self._bottom.addStretch(1)
        for row in (self.review, self.options, self.table.turners, self.facts.turners):
            self._bottom.addWidget(row)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.sentence)
        self._column.addWidget(self.more)
        self._column.addLayout(self._views)
        self._column.addWidget(self._stack, 1)
        self._column.addLayout(self._bottom)

    def _connect(self) -> None:
        self.views.pressed.connect(self.view_pressed)
        self.options.pressed.connect(self.option_pressed)
        self.back.pressed.connect(lambda _key: self.back_pressed.emit())
        self.save.pressed.connect(lambda _key: self.save_pressed.emit())
        self.review.pressed.connect(lambda _key: self.review_pressed.emit())
        self.chart.pressed.connect(self.point_pressed)

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap)
        self._bottom.setSpacing(sizes.gap)
