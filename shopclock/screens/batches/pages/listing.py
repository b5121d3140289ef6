"""All batches, the open ones first."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.pages.batch import open_batch
from shopclock.screens.batches.pages.starting import patterns_page
from shopclock.screens.batches.where import age_text, batch_title, route_look
from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import counted, day_text, length_text, minutes_text, shop_time, word, zone_of
from shopclock.shop.values.entities import Batch
from shopclock.views.page import Body, PageContent, item

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.read.rows import BatchRow
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

_ROWS: Memo[None, dict[int, BatchRow]] = Memo()
_LEAST: Memo[None, frozenset[int]] = Memo()
MINUTE_US = 60_000_000
HOUR_US = 60 * MINUTE_US


def all_batches_page(stack: PagedPresenter, to_spreadsheet: Callable[[], None]) -> PageContent:
    """Each batch with where its pieces stand, or what came of it: open ones, the newest first, then the last closed."""
    floor = stack.floor
    name, live = word(floor, "batch").one, floor.open_batches()
    new = item("new", f"New {name}", partial(DescribedPage, stack, patterns_page), role="primary")
    if not any(floor.all(Batch)):
        return PageContent(
            f"No {name} yet",
            ["A new one asks which pattern and how many; then it can be timed."],
            actions=[new],
            body=Body.ROUTES,
        )
    closed = [batch for batch in floor.all(Batch) if batch.closed_us is not None]
    closed.sort(key=lambda batch: (batch.closed_us or 0, batch.id), reverse=True)
    rows = _rows(stack) if closed else {}
    least = _least(stack) if closed else frozenset()
    return PageContent(
        f"{counted(floor, 'batch', len(live))} open" if live else f"No {name} is open",
        tiles=[
            *(_open_one(stack, batch) for batch in reversed(live)),
            *(_closed_one(stack, batch, rows[batch.id], least=batch.id in least) for batch in closed),
        ],
        actions=[new, item("sheet", "To a sheet", to_spreadsheet)],
        body=Body.ROUTES,
    )


def _rows(stack: PagedPresenter) -> dict[int, BatchRow]:
    """Outcome of each batch, read once until the next press."""
    found = stack.floor.memo(_ROWS)
    if None not in found:
        found[None] = {row.id: row for row in stack.record.reads.batches()}
    return found[None]


def _least(stack: PagedPresenter) -> frozenset[int]:
    """Batches with steps that were not timed, read once until the next press: their minutes are a least."""
    found = stack.floor.memo(_LEAST)
    if None not in found:
        rows = stack.record.reads.whole_rows(stack.record.instant())
        found[None] = frozenset(row.batch_id for row in rows if row.untimed)
    return found[None]


def _open_one(stack: PagedPresenter, batch: Batch) -> Action:
    floor, now_us = stack.floor, stack.record.instant()
    told, n = figures(floor, batch.id, now_us), counted(floor, "piece", len(floor.living(batch.id)))
    took = f"{'at least ' if told.at_least else ''}{length_text(told.whole.all_us)}"
    return item(
        f"batch {batch.id}",
        batch_title(floor, batch),
        partial(open_batch, stack, batch),
        f"{n} · {took} {age_text(batch, now_us)}",
        route=route_look(floor, batch),
    )


def _closed_one(stack: PagedPresenter, batch: Batch, row: BatchRow, *, least: bool) -> Action:
    """A closed batch: what each finished one took, the lost ones carried."""
    finished, each = word(stack.floor, "finished"), ""
    day = shop_time(batch.closed_us or 0, zone_of(stack.floor)).date()
    if row.per_finished_us is not None:
        long = row.per_finished_us >= HOUR_US
        took = length_text(row.per_finished_us) if long else f"{minutes_text(row.per_finished_us / MINUTE_US)} min"
        each = f"{'at least ' if least else ''}{took} a {finished.one}"
    return item(
        f"batch {batch.id}",
        batch_title(stack.floor, batch),
        partial(open_batch, stack, batch),
        f"{row.finished} of {row.pieces} {finished.many} · closed {day_text(day)} {day:%Y}",
        figure=each,
        role="raised",
    )
