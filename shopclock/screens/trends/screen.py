"""Trends: the stages, and the page of the one that was chosen."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QStackedWidget, QVBoxLayout, QWidget

from shopclock.screens.shell.shell import Screen
from shopclock.screens.trends.controls import ButtonRow, Heading, Turners
from shopclock.screens.trends.state import StagesState, View
from shopclock.screens.trends.tables import FactsSheet, PagedRows, PaintedTable, StagesTable
from shopclock.shop.figures.trend_rows import WHOLE
from shopclock.views.button import NO_UNDO, Button
from shopclock.views.grid import MOST
from shopclock.widgets.accessible import announce
from shopclock.widgets.drawing import CENTRE, RIGHT
from shopclock.widgets.import_ahead import ImportAhead
from shopclock.widgets.labels import Label
from shopclock.widgets.plate import Plate
from shopclock.widgets.press_button import PressButton

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from PySide6.QtGui import QResizeEvent, QShowEvent

    from shopclock.screens.trends.presenter import TrendsPresenter
    from shopclock.screens.trends.state import StageState
    from shopclock.views.chart_picture import Picture
    from shopclock.widgets.chart import Chart
    from shopclock.widgets.style import Style


class ChartPlate(Plate):
    """Makes its chart when there is one to draw and the chart library is there, which is taken in beside the window."""

    pressed = Signal(str)
    pointed = Signal(str)

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(look, "plate", parent)
        self.chart: Chart | None = None
        self.library = ImportAhead("shopclock.widgets.chart", self)
        self.library.there.connect(self.draw_now)
        self._wanted: tuple[Picture, str] | None = None
        self._said = "", "quiet"
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
        if self.chart is not None and self.chart.hasFocus() and state.line != self._said[0]:
            announce(self.chart, state.line)  # an arrow has gone on to another dot
        self._said = state.line, "text" if state.review else "quiet"
        self.line.set_text(*self._said)
        self.unit.set_text(picture.unit)
        self.below.set_text(picture.below)
        self.below.setVisible(bool(picture.below))
        self._wanted = picture, f"{state.sentence} {state.more}".strip()
        if self.library.is_there:
            self.draw_now()
        else:
            self.library.begin()

    def draw_now(self) -> None:
        """Draw the chart that is wanted; where its library isn't there yet this waits for it."""
        if self._wanted is None:
            return
        picture, spoken = self._wanted
        if self.chart is None:
            from shopclock.widgets.chart import Chart

            self.chart = Chart(self._look)
            self.chart.pressed.connect(self.pressed)
            self.chart.pointed.connect(self.pointed)
            self._column.insertWidget(1, self.chart, 1)
        self.chart.setAccessibleName(spoken)
        self.chart.show_picture(picture)

    def say_over(self, text: str) -> None:
        """Say what a pointer is over; without it, what was said before."""
        if text:
            self.line.set_text(text, "text")
        else:
            self.line.set_text(*self._said)

    def copy_for(self, look: Style) -> ChartPlate:
        """The chart with its words, drawn with another look."""
        made = ChartPlate(look)
        made.resize(self.size())
        if self._wanted is not None:
            picture, spoken = self._wanted
            made._wanted = replace(picture, chosen=""), spoken
            made.unit.set_text(picture.unit)
            made.below.set_text(picture.below)
            made.draw_now()
        return made

    def _redress_rows(self) -> None:
        margin = self._look.sizes.margin
        self._top.setSpacing(2 * self._look.sizes.gap)
        self._column.setContentsMargins(margin, margin // 2, margin, margin // 2)


T = TypeVar("T")
OPTIONS = ("own", "pattern", "average", "method", "maker")


class TrendStagePage(QWidget):
    """Rows of buttons around what is in sight: ways of looking, other ways to show it, saving, the way back."""

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.sentence, self.more = Heading(look, "sentence"), Heading(look, "quiet")
        self.views = ButtonRow(look, [view.value for view in View])
        self.back, self.review = ButtonRow(look, ["all stages"]), ButtonRow(look, ["review"])
        self.options, self.save = ButtonRow(look, OPTIONS), ButtonRow(look, ["save"])
        self.undo = ButtonRow(look, ["undo"])
        self.nothing, self.line = Plate(look), Label(look, "body", lines=2)
        self.chart, self.rows, self.facts = ChartPlate(look), PaintedTable(look), FactsSheet(look)
        self.table, self.how = PagedRows(look, self.rows), PagedRows(look, self.facts)
        self._stack = QStackedWidget()
        self._lay_out()
        look.changed.connect(self._redress)
        self._redress()

    def render_state(self, state: StageState, back: str) -> None:
        """Draw this; `back` is what the way back says."""
        self.sentence.set_text(state.sentence)
        self.more.set_text(state.more)
        self.more.setVisible(bool(state.more))
        self.back.show_states({"all stages": Button(back)})
        self.views.show_states({view: Button(text, checked=view is state.view) for view, text in state.views})
        self.options.show_states({key: Button(text) for key, text in state.options})
        self.save.show_states({"save": Button("Save or copy")} if state.picture is not None else {})
        self.review.show_states({"review": Button(state.review, role="primary")} if state.review else {})
        self.line.set_text(state.line, "quiet")
        self._show_body(state)

    def _show_body(self, state: StageState) -> None:
        for pages in (self.table, self.how):
            pages.turners.hide()
        if state.picture is not None:
            self._stack.setCurrentWidget(self.chart)
            self.chart.show_picture(state.picture, state)
        elif state.table is not None:
            self._stack.setCurrentWidget(self.table)
            self.rows.show_table(state.table)
            self.table.arrange()
        elif state.facts:
            self._stack.setCurrentWidget(self.how)
            self.facts.show_facts(state.facts)
            self.how.arrange()
        else:
            self._stack.setCurrentWidget(self.nothing)

    def _lay_out(self) -> None:
        self.nothing.carry(self.line)
        self.line.set_align(CENTRE)
        QVBoxLayout(self.nothing).addWidget(self.line)
        for page in (self.chart, self.table, self.how, self.nothing):
            self._stack.addWidget(page)
        self._views = QHBoxLayout()
        self._views.addWidget(self.views)
        self._views.addStretch(1)
        self._bottom = QHBoxLayout()
        self._bottom.addWidget(self.back)
        self._bottom.addWidget(self.save)
        self._bottom.addStretch(1)
        for row in (self.review, self.options, self.table.turners, self.how.turners, self.undo):
            self._bottom.addWidget(row)
        self._column = QVBoxLayout(self)
        self._column.addWidget(self.sentence)
        self._column.addWidget(self.more)
        self._column.addLayout(self._views)
        self._column.addWidget(self._stack, 1)
        self._column.addLayout(self._bottom)

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap)
        self._bottom.setSpacing(sizes.gap)


class TrendStagesPage(QWidget):
    """A line for each stage, the whole piece, and the way to the Bench while there is nothing to show.

    `pressed` carries the key of a stage, or of the whole piece.
    """

    pressed = Signal(str)

    def __init__(self, look: Style, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._look = look
        self.sentence, self.more = Heading(look, "sentence"), Heading(look, "quiet")
        self.table, self.whole = StagesTable(look), ButtonRow(look, (str(WHOLE), "most"))
        self.turners, self.undo = Turners(look, self.table), ButtonRow(look, ["undo"])
        self._most = ""
        self.table.pressed.connect(self.pressed)
        self.whole.pressed.connect(lambda key: self.pressed.emit(self._most if key == "most" else key))
        self.bench = PressButton(look, Button("To the Bench", role="primary"))
        self._bottom = QHBoxLayout()
        self._bottom.addWidget(self.whole)
        self._bottom.addStretch(1)
        self._bottom.addWidget(self.turners)
        self._bottom.addWidget(self.undo)
        self._column = QVBoxLayout(self)
        for widget in (self.sentence, self.more):
            self._column.addWidget(widget)
        self._column.addWidget(self.table, 1)
        self._column.addWidget(self.bench, 1, Qt.AlignmentFlag.AlignTop)
        self._column.addLayout(self._bottom)
        look.changed.connect(self._redress)
        self._redress()

    def render_state(self, state: StagesState) -> None:
        """Draw this."""
        self.sentence.set_text(state.sentence)
        self.more.set_text(state.more)
        self.more.setVisible(bool(state.more))
        self.table.setVisible(not state.to_bench)
        self.bench.setVisible(state.to_bench)
        ways = {str(WHOLE): Button(state.whole)} if state.whole else {}
        self._most = state.most.key if state.most is not None else ""
        if state.most is not None:
            ways["most"] = Button(state.most.cells[0], "most to be won")
        self.whole.show_states(ways)
        self.table.show_lines(state.columns, state.lines)
        self._arrange()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lines, as many as fit."""
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        """Turn to a page that there is."""
        self._column.activate()
        self.turners.turn()

    def _redress(self) -> None:
        sizes = self._look.sizes
        self._column.setContentsMargins(sizes.margin, 0, sizes.margin, sizes.margin)
        self._column.setSpacing(sizes.gap)
        self._bottom.setSpacing(sizes.gap)
        self.bench.setFixedHeight(round(MOST * sizes.touch))


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
        self.stage.chart.library.begin()

    def refresh(self) -> None:
        """Read the record anew and draw it."""
        self.presenter.refresh()
        self._render()

    def showEvent(self, event: QShowEvent) -> None:
        """Somebody has come to Trends."""
        super().showEvent(event)
        self.presenter.come()
        self._render()

    def go_to_front(self) -> None:
        """Show all stages."""
        self.back()

    def back(self) -> bool:
        """Go back to the stages; tells whether there was a page to leave."""
        left = self.presenter.press_back()
        self._render()
        return left

    def _connect(self) -> None:
        presenter, stages, stage = self.presenter, self.stages, self.stage
        stages.pressed.connect(lambda key: self._press(presenter.press_stage, key))
        stages.bench.pressed_at.connect(lambda _came_down: presenter.press_bench())
        stage.back.pressed.connect(lambda _key: self.back())
        stage.views.pressed.connect(lambda key: self._press(presenter.press_view, View(key)))
        stage.options.pressed.connect(lambda key: self._press(presenter.press_option, key))
        stage.chart.pressed.connect(lambda key: self._press(presenter.press_point, key))
        stage.chart.pointed.connect(lambda key: stage.chart.say_over(presenter.point_said(key)))
        stage.review.pressed.connect(lambda _key: presenter.press_review())
        stage.save.pressed.connect(lambda _key: self._save())
        for page in (stages, stage):
            page.undo.pressed.connect(lambda _key: presenter.press_undo())
        presenter.on_change(self._render)

    def _press(self, press: Callable[[T], None], what: T) -> None:
        press(what)
        self._render()

    def _save(self) -> None:
        """Ask how the chart in sight is taken along, and say where it lies then."""
        from shopclock.screens.files.saving import places_to_save, ways_out

        places = places_to_save(self._folder)
        self.presenter.dialogs.ask("Save or copy what?", ways_out(places), partial(self._take_along, places))

    def _take_along(self, places: list[tuple[str, Path]], key: str | None) -> None:
        from shopclock.screens.files.saving import CHART, FIGURES, copy_chart, copy_figures, marked, save_both

        if key is None:
            return
        chart, sentence = self.stage.chart, marked(self.presenter.floor, self.stage.sentence.text)
        chart.draw_now()
        if key == FIGURES:
            said = copy_figures(self.presenter.figures())
        elif key == CHART:
            said = copy_chart(chart, self._look, sentence)
        else:
            folder = places[int(key.split()[1])][1]
            said = save_both(chart, self._look, sentence, folder, self.presenter.chart_name)
        self.presenter.dialogs.tell(said)

    def _render(self) -> None:
        state, names = self.presenter.state(), self.presenter.undo_in_full
        for page in (self.stages, self.stage):
            page.undo.show_states({"undo": Button("Undo", names, role="raised", why_not="" if names else NO_UNDO)})
        if isinstance(state, StagesState):
            self.stages.render_state(state)
            self._stack.setCurrentWidget(self.stages)
        else:
            self.stage.render_state(state, self.presenter.back_words)
            self._stack.setCurrentWidget(self.stage)
