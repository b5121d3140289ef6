"""Trends: the stages, and the page of the one that was chosen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from shopclock.screens.shell.shell import Screen
from shopclock.screens.trends.controls import ButtonRow, Heading, Turners
from shopclock.screens.trends.state import StagesState, View
from shopclock.screens.trends.tables import FactPages, StagesTable, TablePages
from shopclock.views.button import Button
from shopclock.widgets.drawing import CENTRE, RIGHT
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtGui import QResizeEvent

    from shopclock.screens.trends.presenter import TrendsPresenter
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


class TrendStagesPage(QWidget):
    """Says which stage was pressed, or that the maker wants to the Bench."""

    stage_pressed = Signal(str)
    bench_pressed = Signal()

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self._page = 0
        self.sentence, self.more = Heading(look, "sentence"), Heading(look, "quiet")
        self.table, self.whole, self.turners = StagesTable(look), ButtonRow(look, ("whole",)), Turners(look)
        self.bench = PressButton(look, Button("To the Bench", role="primary"))
        self._bottom = QHBoxLayout()
        self._bottom.addWidget(self.whole)
        self._bottom.addStretch(1)
        self._bottom.addWidget(self.turners)
        self._column = QVBoxLayout(self)
        for widget in (self.sentence, self.more):
            self._column.addWidget(widget)
        self._column.addWidget(self.table, 1)
        self._column.addLayout(self._bottom)
        self._column.addWidget(self.bench, 0, Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self._connect()
        self._redress()

    def render_state(self, state: StagesState) -> None:
        """Draw this."""
        self.sentence.set_text(state.sentence)
        self.more.set_text(state.more)
        self.more.setVisible(bool(state.more))
        self.table.setVisible(not state.to_bench)
        self.bench.setVisible(state.to_bench)
        self.whole.show_states({"whole": Button(state.whole)} if state.whole else {})
        self.table.show_lines(state.columns, state.lines)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As many lines as fit."""
        super().resizeEvent(event)
        self._arrange()

    def _connect(self) -> None:
        self.table.pressed.connect(self.stage_pressed)
        self.whole.pressed.connect(lambda _key: self.stage_pressed.emit("0"))
        self.turners.turned.connect(self._turn)
        self.bench.pressed_at.connect(lambda _came_down: self.bench_pressed.emit())
        self._look.changed.connect(self._redress)

    def _turn(self, pages: int) -> None:
        self._page += pages
        self._arrange()

    def _arrange(self) -> None:
        """Turn to a page that there is."""
        self._column.activate()
        starts = self.table.starts()
        self._page = max(0, min(self._page, len(starts) - 1))
        self.turners.show_page(self._page, len(starts))
        self.table.show_from(starts[self._page])

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap)
        self._bottom.setSpacing(sizes.gap)
        self.bench.setFixedSize(3 * sizes.touch, sizes.touch)


class TrendsScreen(Screen):
    """Shows what its presenter says. A stage takes a moment: what is usual stands there until the rest has come."""

    def __init__(self, look: Style, presenter: TrendsPresenter, folder: Path) -> None:
        """Charts are saved in `folder`."""
        super().__init__()
        self._look = look
        self._folder = folder
        self.presenter = presenter
        self.stages = TrendStagesPage(look)
        self.stage = TrendStagePage(look)
        self._stack = QStackedWidget()
        for page in (self.stages, self.stage):
            self._stack.addWidget(page)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._stack)
        self._connect()

    def refresh(self) -> None:
        """Read the record anew and draw it."""
        self.presenter.refresh()
        self._render()

    def back(self) -> bool:
        """Go back to the stages; tells whether there was a page to leave."""
        left = self.presenter.press_back()
        self._render()
        return left

    def _connect(self) -> None:
        self.stages.stage_pressed.connect(self._open)
        self.stages.bench_pressed.connect(self.presenter.press_bench)
        self.stage.back_pressed.connect(self.back)
        self.stage.view_pressed.connect(self._view)
        self.stage.option_pressed.connect(self._option)
        self.stage.point_pressed.connect(self._point)
        self.stage.review_pressed.connect(self.presenter.press_review)
        self.stage.save_pressed.connect(self._save)
        self.presenter.on_change(self._render)

    def _open(self, key: str) -> None:
        self.presenter.press_stage(key)
        self._render()

    def _view(self, view: str) -> None:
        self.presenter.press_view(View(view))
        self._render()

    def _option(self, key: str) -> None:
        self.presenter.press_option(key)
        self._render()

    def _point(self, key: str) -> None:
        self.presenter.press_point(key)
        self._render()

    def _save(self) -> None:
        """Save the chart in sight, under its sentence."""
        from shopclock.screens.files.saving import save_both

        name = self.presenter.chart_name
        sentence = self.stage.sentence.text
        said = save_both(self.stage.chart, self._look, sentence, self._folder, name)
        self.presenter.dialogs.tell(said)

    def _render(self) -> None:
        state = self.presenter.state()
        if isinstance(state, StagesState):
            self.stages.render_state(state)
            self._stack.setCurrentWidget(self.stages)
        else:
            self.stage.render_state(state, self.presenter.back_words)
            self._stack.setCurrentWidget(self.stage)
