"""What Trends shows and what its presses do. No Qt, no figures of its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shopclock.screens.pressing import Pressing
from shopclock.screens.trends.state import Choice, StagesState, StageState, StageTile, View
from shopclock.shop.errors import ShopError
from shopclock.shop.stage_rows import counts, usual
from shopclock.shop.values import Method, Stage
from shopclock.shop.wording import counted, word

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.analysis.stage_answer import StageAnswer
    from shopclock.record.record import Record
    from shopclock.screens.paged.stack import Go
    from shopclock.screens.trends.shown import Shown
    from shopclock.screens.work import Work
    from shopclock.shop.stage_rows import StageRow
    from shopclock.widgets.dialogs import Dialogs

Asked = tuple[int, tuple["StageRow", ...]]
"""What an answer is of: the stage, and its rows."""


class TrendsPresenter(Pressing):
    """Choose a stage, then look at it. `stage_rows` reads the rows of all batches; a stage is worked out beside."""

    def __init__(
        self, record: Record, dialogs: Dialogs, stage_rows: Callable[[], Sequence[StageRow]], go: Go, background: Work
    ) -> None:
        super().__init__(record, dialogs)
        self._read = stage_rows
        self._go = go
        self._background = background
        self._rows: tuple[StageRow, ...] = ()
        self._stage_id: int | None = None
        self._asked: Asked | None = None
        self._answer: StageAnswer | None = None
        self._failed = False
        self._choice = Choice()
        self._changed: list[Callable[[], None]] = []

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call this when an answer has come."""
        self._changed.append(listener)

    def refresh(self) -> None:
        """Read the rows anew; what was shown stays when the record can't be read."""
        try:
            self._rows = tuple(self._read())
        except ShopError as error:
            self.dialogs.tell(str(error))
        if self._stage_id not in {row.stage_id for row in self._rows}:
            self._stage_id = None
        self._ask()

    def state(self) -> StagesState | StageState:
        """Return the stages to choose from, or the page of the chosen one."""
        return self._stages() if self._stage_id is None else self._stage(self._stage_id)

    def press_stage(self, key: str) -> None:
        """Open the page of a stage."""
        self._stage_id, self._asked, self._answer, self._choice = int(key), None, None, Choice()
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
        """Show the same with another count, pattern, method or curve."""
        from shopclock.screens.trends.options import after_press

        shown = self._shown()
        if shown is not None:
            self._choice = after_press(shown, key)

    def press_back(self) -> bool:
        """Go back to the stages; tells whether there was a page to leave. What is being worked out is let go."""
        left, self._stage_id, self._asked = self._stage_id is not None, None, None
        return left

    @property
    def back_words(self) -> str:
        """What the way back to the stages says."""
        return f"All {word(self.floor, 'stage').many}"

    def press_bench(self) -> None:
        """Go where work is timed."""
        self._go("bench")

    def _ask(self) -> None:
        """Have the chosen stage worked out, unless its rows are those that were asked about last."""
        if self._stage_id is None:
            return
        asked = (self._stage_id, tuple(row for row in self._rows if row.stage_id == self._stage_id))
        if asked == self._asked:
            return
        from shopclock.analysis.stage_answer import stage_answer

        self._asked, self._failed = asked, False
        self._background.run(
            stage_answer,
            (asked[1], asked[0]),
            lambda answer: self._answered(asked, answer),
            lambda _error: self._answered(asked, None),
        )

    def _answered(self, asked: Asked, answer: StageAnswer | None) -> None:
        """Show an answer, unless something else has been asked since."""
        if asked is not self._asked:
            return
        self._answer, self._failed = answer, answer is None
        for listener in self._changed:
            listener()

    def _shown(self) -> Shown | None:
        from shopclock.screens.trends.shown import Shown

        return Shown(self.floor, self._answer, self._choice) if self._answer is not None else None

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
        shown = self._shown()
        if shown is not None:
            from shopclock.screens.trends.stage_state import stage_state

            return stage_state(shown)
        return self._waiting(self.floor.get(Stage, stage_id))

    def _waiting(self, stage: Stage) -> StageState:
        """Return the first answer at once: what is usual, and that the rest is being worked out."""
        tile = self._tile(stage)
        said = ", ".join(part for part in (tile.usual, tile.last) if part)
        n = len({row.batch_id for row in self._rows if row.stage_id == stage.id})
        moment = f"One moment: {counted(self.floor, 'batch', n)} of {stage.name} are being worked out."
        failed = f"{stage.name} could not be worked out. The record is as it was; its figures are in Review."
        return StageState(sentence=f"{stage.name}: {said}.", more="", line=failed if self._failed else moment)
