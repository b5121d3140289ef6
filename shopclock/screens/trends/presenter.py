"""What Trends shows and what its presses do. No Qt, no figures of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from shopclock.screens.pressing import Pressing
from shopclock.screens.trends.state import StagesState, StageState, StageTile, View
from shopclock.shop.errors import ShopError
from shopclock.shop.stage_rows import counts, usual
from shopclock.shop.values import Method, Stage
from shopclock.shop.wording import word

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.analysis.stage_trend import StageTrend
    from shopclock.record.record import Record
    from shopclock.shop.stage_rows import StageRow
    from shopclock.widgets.dialogs import Dialogs


class Go(Protocol):
    """Brings another screen in sight."""

    def __call__(self, tab: str, /) -> object:
        """Show the screen of this tab."""


class TrendsPresenter(Pressing):
    """Choose a stage, then look at it. `stage_rows` reads the rows of all batches."""

    def __init__(self, record: Record, dialogs: Dialogs, stage_rows: Callable[[], Sequence[StageRow]], go: Go) -> None:
        super().__init__(record, dialogs)
        self._read = stage_rows
        self._go = go
        self._rows: tuple[StageRow, ...] = ()
        self._stage_id: int | None = None
        self._trend: StageTrend | None = None
        self._view = View.BATCHES
        self._chosen = ""

    def refresh(self) -> None:
        """Read the rows anew; what was shown stays when the record can't be read."""
        try:
            self._rows = tuple(self._read())
        except ShopError as error:
            self.dialogs.tell(str(error))
        self._trend = None
        if self._stage_id not in {row.stage_id for row in self._rows}:
            self._stage_id = None

    def state(self) -> StagesState | StageState:
        """Return the stages to choose from, or the page of the chosen one."""
        return self._stages() if self._stage_id is None else self._stage(self._stage_id)

    def press_stage(self, key: str) -> None:
        """Open the page of a stage."""
        self._stage_id, self._trend, self._chosen = int(key), None, ""

    def press_view(self, view: View) -> None:
        """Look at it in another way."""
        self._view = view

    def press_point(self, key: str) -> None:
        """Tell which batch a point is; a second press puts it away."""
        self._chosen = "" if key == self._chosen else key

    def press_back(self) -> bool:
        """Go back to the stages; tells whether there was a page to leave."""
        left, self._stage_id = self._stage_id is not None, None
        return left

    @property
    def back_words(self) -> str:
        """What the way back to the stages says."""
        return f"All {word(self.floor, 'stage').many}"

    def press_bench(self) -> None:
        """Go where work is timed."""
        self._go("bench")

    def _stages(self) -> StagesState:
        numbers = {row.stage_id for row in self._rows}
        tiles = tuple(self._tile(stage) for stage in self.floor.all(Stage) if stage.id in numbers)
        batch, stage = word(self.floor, "batch").one, word(self.floor, "stage").one
        if tiles:
            return StagesState(f"Minutes a {word(self.floor, 'piece').one}, {stage} by {stage}", tiles, to_bench=False)
        return StagesState(f"No {batch} is through a {stage} yet. Trends begin with the first.", (), to_bench=True)

    def _tile(self, stage: Stage) -> StageTile:
        from shopclock.screens.trends.words import last_text, usual_text

        rows = [row for row in self._rows if row.stage_id == stage.id]
        newest = max(rows, key=lambda row: (counts(row), row.middle_us))
        found = usual(rows, stage.id, newest.method_id, None)
        method = self.floor.get(Method, newest.method_id).name if newest.method_id is not None else ""
        nothing = f"no {word(self.floor, 'batch').one} counts yet"
        last = ", ".join(part for part in (last_text(found) or nothing, method) if part)
        return StageTile(str(stage.id), stage.name, usual_text(found), last)

    def _stage(self, stage_id: int) -> StageState:
        from shopclock.screens.trends.chart_state import chart_state
        from shopclock.screens.trends.tables import full_table, short_table
        from shopclock.screens.trends.words import more, sentence

        trend = self._worked_out(stage_id)
        line = self._line(trend)
        table = self._view is View.TABLE
        return StageState(
            sentence=sentence(self.floor, trend),
            more=more(self.floor, trend),
            view=self._view,
            chart=None if table else chart_state(self.floor, trend, self._view),
            beside=short_table(self.floor, trend),
            table=full_table(self.floor, trend),
            line=line or self._how_to(),
            chosen=self._chosen if line else "",
        )

    def _worked_out(self, stage_id: int) -> StageTrend:
        from shopclock.analysis.stage_trend import stage_trend

        if self._trend is None:
            self._trend = stage_trend(self._rows, stage_id)
        return self._trend

    def _line(self, trend: StageTrend) -> str:
        from shopclock.screens.trends.chart_state import lot_key
        from shopclock.screens.trends.words import method_name, point_text

        for method in trend.methods:
            for lot in method.lots:
                if lot_key(method, lot) == self._chosen:
                    return point_text(self.floor, lot, method_name(self.floor, trend, method))
        return ""

    def _how_to(self) -> str:
        return f"Press a mark to see which {word(self.floor, 'batch').one} it is. Hollow ones are left out."
