"""Trends without a window: what is shown, what its presses do. No Qt, no figures of its own."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.base_presenter import DrawnPresenter
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.trends.state import StagesState, StageState, TrendChoice, View
from shopclock.shop.figures.made_before import made_before
from shopclock.shop.figures.trend_rows import WHOLE
from shopclock.shop.state.wording import word
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work.makers import makers, name_of_maker, several

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.stage_answer import StageAnswer
    from shopclock.analysis.learning.stages_table import StageSummary
    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.screens.trends.shown import Shown
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.views.dialogs import Dialogs

Rows = Callable[..., "Sequence[TrendRow]"]
"""Reads rows of all batches, of all makers together, or of the one whose number it is given."""


MAKER = "maker"
"""Key of the option that shows another maker's trend."""


class TrendsPresenter(DrawnPresenter):
    """Choose a stage, then look at it. Rows are read here, and worked out beside the window."""

    def __init__(
        self, record: Record, dialogs: Dialogs, rows: tuple[Rows, Rows], go: ShowScreen, background: WorkRunner
    ) -> None:
        """Take `rows` of stages and of whole batches."""
        super().__init__(record, dialogs)
        self._read_stages, self._read_whole = rows
        self._go = go
        self._rows: tuple[TrendRow, ...] = ()
        self._whole: tuple[TrendRow, ...] = ()
        self._stage_id: int | None = None
        self._in_sight: tuple[str, ...] = ()
        self._maker_id: int | None = None
        self._choice = TrendChoice()
        self._stage_answer: AsyncAnswer[StageAnswer] = AsyncAnswer(background, self.changed)
        self._lines: AsyncAnswer[tuple[StageSummary, ...]] = AsyncAnswer(background, self.changed)

    def refresh(self) -> None:
        """Read the rows anew; what was shown stays when the record can't be read."""
        whose = (self._maker_id,) if self._maker_id is not None else ()
        try:
            self._rows, self._whole = tuple(self._read_stages(*whose)), tuple(self._read_whole(*whose))
        except ShopError as error:
            self.dialogs.tell(str(error))
        if self._maker_id is None and self._stage_id not in {row.stage_id for row in (*self._rows, *self._whole)}:
            self._stage_id = None
        self._ask()

    def state(self) -> StagesState | StageState:
        """Return the table of stages, or the page of the chosen one.

        Stages keep the order in which they came in sight, whatever answer comes: nothing moves under a finger. The one
        that the sentence names has a button then.
        """
        if self._stage_id is not None:
            return self._stage(self._stage_id)
        state, places = self._stages(), {key: place for place, key in enumerate(self._in_sight)}
        lines = sorted(state.lines, key=lambda line: places.get(line.key, len(places)))
        self._in_sight = tuple(line.key for line in lines)
        most = next((line for line in lines[1:] if line.told), None)
        return replace(state, lines=tuple(lines), most=most)

    def come(self) -> None:
        """Somebody has come to the table: it is sorted anew."""
        self._in_sight = ()

    def press_stage(self, key: str) -> None:
        """Open the page of a stage, or of the whole piece."""
        self._stage_id, self._choice = int(key), TrendChoice()
        self._stage_answer.drop()
        self._ask()

    def press_view(self, view: View) -> None:
        """Look at it in another way."""
        self._choice = replace(self._choice, view=view)

    def press_point(self, key: str) -> None:
        """Tell which batch a mark is; a second press opens its Review."""
        if key == self._choice.key:
            self.press_review()
        else:
            self._choice = replace(self._choice, key=key)

    def press_review(self) -> None:
        """Open the Review of the batch whose mark was pressed."""
        self._go("review", int(self._choice.key.split(":")[0]))

    def press_option(self, key: str) -> None:
        """Show the same with another count, pattern, method or curve, or of another maker."""
        if key == MAKER:
            self._maker_id, self._choice = self._next_maker(), TrendChoice(view=self._choice.view)
            self.refresh()
            return
        from shopclock.screens.trends.stage_state import after_press

        shown = self._shown()
        if shown is not None:
            self._choice = after_press(shown, key)

    def press_back(self) -> bool:
        """Go back to the stages; tells whether there was a page to leave. What is being worked out is let go."""
        left, self._stage_id = self._stage_id is not None, None
        self.come()
        self._stage_answer.drop()
        self._ask()
        return left

    @property
    def chart_name(self) -> str:
        """Name of a file with the chart in sight: Grind bevels by blade count."""
        from shopclock.screens.trends.stage_state import chart_name

        shown = self._shown()
        return chart_name(shown) if shown is not None else ""

    def point_said(self, key: str) -> str:
        """Say which batch a mark is, without choosing it; nothing for none."""
        from shopclock.screens.trends.stage_state import said_of

        shown = self._shown()
        return said_of(shown, key) if shown is not None and key else ""

    def figures(self) -> str:
        """Return the figures behind the chart in sight, a row a batch, cells apart by tabs."""
        from shopclock.screens.trends.stage_state import full_table
        from shopclock.views.figures_text import tabbed

        shown = self._shown()
        if shown is None:
            return ""
        table = full_table(shown)
        return tabbed([tuple(column.head for column in table.columns), *(row.cells for row in table.rows)])

    @property
    def back_words(self) -> str:
        """Words of the way back to the stages."""
        return f"All {word(self.floor, 'stage').many}"

    def press_bench(self) -> None:
        """Go where work is timed."""
        self._go("bench")

    def _ask(self) -> None:
        """Have what is in sight worked out, unless it has been asked about these rows already."""
        before = made_before(self.floor, self._maker_id)
        made = tuple(sorted(before.items()))
        if self._stage_id is not None:
            from shopclock.analysis.learning.lately import lately
            from shopclock.analysis.learning.route_minutes import routes_of, whole
            from shopclock.analysis.learning.stage_answer import stage_answer

            stage, routes = self._stage_id, routes_of(self.floor)
            if stage == WHOLE:
                rows, routes = self._whole, whole(routes, WHOLE)
            else:
                rows, before = lately(self._rows, stage, before)
            question = (stage, rows, made, tuple(routes.items()))
            self._stage_answer.ask(question, partial(stage_answer, rows, stage, before, routes))
        elif self._rows:
            from shopclock.analysis.learning.route_minutes import routes_of
            from shopclock.analysis.learning.stages_table import stages_table

            routes = routes_of(self.floor)
            table = partial(stages_table, self._rows, self._whole, before, routes)
            self._lines.ask((self._rows, self._whole, made, tuple(routes.items())), table)

    def _shown(self) -> Shown | None:
        """The stage as it is looked at; by count where the way that was chosen has nothing to show of this method."""
        from shopclock.screens.trends.shown import Shown
        from shopclock.screens.trends.stage_state import views

        answer = self._stage_answer.answer
        if answer is None or not answer.methods:
            return None
        shown = Shown(self.floor, answer, self._choice)
        if self._choice.view in dict(views(shown)):
            return shown
        return Shown(self.floor, answer, replace(self._choice, view=View.COUNT))

    def _stages(self) -> StagesState:
        from shopclock.screens.trends.stages_state import compared, first_answer, nothing_yet

        if not self._rows:
            return nothing_yet(self.floor)
        lines, failed = self._lines.answer, bool(self._lines.why)
        found = first_answer(self.floor, self._rows, failed=failed) if lines is None else None
        state = found or compared(self.floor, lines or (), self._rows)
        return replace(state, whole=f"The whole {word(self.floor, 'finished').one}") if self._whole else state

    def _next_maker(self) -> int | None:
        """Return the next maker in a round that begins with all together."""
        round_ = [None, *(maker.id for maker in makers(self.floor))]
        return round_[(round_.index(self._maker_id) + 1) % len(round_)] if self._maker_id in round_ else None

    def _with_makers(self, state: StageState) -> StageState:
        """Say whose trend it is, and offer the next maker's, where there are several."""
        if not several(self.floor):
            return state
        following = self._next_maker()
        says = f"{name_of_maker(self.floor, following)} alone" if following is not None else "all makers together"
        whose = f"{name_of_maker(self.floor, self._maker_id)}: " if self._maker_id is not None else ""
        options = (*state.options, (MAKER, says))
        return replace(state, sentence=f"{whose}{state.sentence}", options=options)

    def _stage(self, stage_id: int) -> StageState:
        """Return the page of a stage."""
        return self._with_makers(self._stage_of(stage_id))

    def _stage_of(self, stage_id: int) -> StageState:
        from shopclock.screens.trends.stage_state import none_counts, stage_state, waiting

        shown, answer = self._shown(), self._stage_answer.answer
        if shown is not None:
            return stage_state(shown)
        if answer is not None:
            return none_counts(self.floor, answer)
        rows = self._whole if stage_id == WHOLE else self._rows
        return waiting(self.floor, stage_id, rows, failed=bool(self._stage_answer.why))
