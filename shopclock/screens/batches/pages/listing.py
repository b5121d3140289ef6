"""All batches, the open ones first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.pages.batch import BatchPage
from shopclock.screens.batches.pages.starting import PatternsToStart
from shopclock.screens.batches.where import age_text, batch_title, route_look
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import counted, day_text, length_text, minutes_text, shop_time, word, zone_of
from shopclock.shop.values.entities import Batch
from shopclock.views.page import Body, Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.record.read.rows import BatchRow
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action


_ROWS: Memo[None, dict[int, BatchRow]] = Memo()
MINUTE_US = 60_000_000
HOUR_US = 60 * MINUTE_US


class AllBatches(Page):
    """The first page: each batch with where its pieces stand, or what came of it."""

    body = Body.ROUTES

    def __init__(self, stack: PagedPresenter, to_spreadsheet: Callable[[], None]) -> None:
        self._stack = stack
        self._to_spreadsheet = to_spreadsheet

    def title(self) -> str:
        """How many are open."""
        floor = self._stack.floor
        n = len(floor.open_batches())
        if not n and not any(floor.all(Batch)):
            return f"No {word(floor, 'batch').one} yet"
        return f"{counted(floor, 'batch', n)} open" if n else f"No {word(floor, 'batch').one} is open"

    def lines(self) -> Sequence[TextLine]:
        """What to do where there is nothing to show."""
        floor = self._stack.floor
        if any(floor.all(Batch)):
            return ()
        return (TextLine("A new one asks which pattern and how many; then it can be timed."),)

    def offers(self) -> Sequence[Action]:
        """Open batches, the newest first; then closed ones, the last closed first."""
        floor = self._stack.floor
        live = [self._open_one(batch) for batch in reversed(floor.open_batches())]
        closed = [batch for batch in floor.all(Batch) if batch.closed_us is not None]
        closed.sort(key=lambda batch: (batch.closed_us or 0, batch.id), reverse=True)
        rows = self._rows() if closed else {}
        return [*live, *(self._closed_one(batch, rows[batch.id]) for batch in closed)]

    def actions(self) -> Sequence[Action]:
        """A new one, and all of them as a sheet."""
        name = word(self._stack.floor, "batch").one
        new = action("new", f"New {name}", calling(lambda: PatternsToStart.open_on(self._stack)), role="primary")
        if not any(self._stack.floor.all(Batch)):
            return [new]
        return [new, action("sheet", "To a sheet", calling(self._to_spreadsheet))]

    def _rows(self) -> dict[int, BatchRow]:
        """What came of each batch, read once until the next press."""
        found = self._stack.floor.memo(_ROWS)
        if None not in found:
            found[None] = {row.id: row for row in self._stack.record.reads.batches()}
        return found[None]

    def _open_one(self, batch: Batch) -> Action:
        floor, now_us = self._stack.floor, self._stack.record.instant()
        told = figures(floor, batch.id, now_us)
        n = counted(floor, "piece", len(floor.living(batch.id)))
        detail = f"{n} · {length_text(told.whole.all_us)} {age_text(batch, now_us)}"
        return action(
            f"batch {batch.id}",
            batch_title(floor, batch),
            calling(lambda: self._stack.open(BatchPage(self._stack, batch.id))),
            detail=detail,
            route=route_look(floor, batch),
        )

    def _closed_one(self, batch: Batch, row: BatchRow) -> Action:
        floor = self._stack.floor
        day = shop_time(batch.closed_us or 0, zone_of(floor)).date()
        return action(
            f"batch {batch.id}",
            batch_title(floor, batch),
            calling(lambda: self._stack.open(BatchPage(self._stack, batch.id))),
            detail=f"{row.finished} of {row.pieces} {word(floor, 'finished').many} · closed {day_text(day)} {day:%Y}",
            figure=self._each(row),
            role="raised",
        )

    def _each(self, row: BatchRow) -> str:
        """What each finished one took, the lost ones carried."""
        each_us = row.per_finished_us
        if each_us is None:
            return ""
        long = length_text(each_us) if each_us >= HOUR_US else f"{minutes_text(each_us / MINUTE_US)} min"
        return f"{long} a {word(self._stack.floor, 'finished').one}"
