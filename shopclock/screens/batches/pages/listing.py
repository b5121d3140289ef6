"""All batches, the open ones first."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.closed import MANY, Among, jumps
from shopclock.screens.batches.pages.batch import open_batch
from shopclock.screens.batches.pages.starting import new_batch
from shopclock.screens.batches.where import age_text, batch_title, route_look
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.planning.orders import batches_of, open_orders, promised_day
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import counted, day_text, length_text, minutes_text, shop_time, word, zone_of
from shopclock.shop.values.entities import Batch
from shopclock.shop.values.habits import figure
from shopclock.views.page import Body, PageContent, item, nothing_yet

if TYPE_CHECKING:
    from shopclock.analysis.plan.to_come import HoursToCome
    from shopclock.record.read.rows import BatchRow
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.page import Action

_ROWS: Memo[None, dict[int, BatchRow]] = Memo()
_LEAST: Memo[None, frozenset[int]] = Memo()
MINUTE_US = 60_000_000
HOUR_US = 60 * MINUTE_US


ToCome = Mapping[int, "HoursToCome"]
"""Hours to come of open batches, by their numbers."""


def all_batches_page(
    stack: PagedPresenter, to_spreadsheet: Callable[[], None], to_come: Callable[[], ToCome]
) -> PageContent:
    """Each open batch with where its pieces stand and what is to come, the newest first; then those closed last.

    The other closed ones are found by year and by pattern.
    """
    floor = stack.floor
    name, live = word(floor, "batch").one, floor.open_batches()
    new = item("new", f"New {name}", partial(new_batch, stack), role="primary")
    if not any(floor.all(Batch)):
        return nothing_yet(f"No {name} yet", "A new one asks which pattern and how many; then it can be timed.", new)
    closed, hours = closed_ones(floor), to_come() if live else {}
    ways = jumps(stack, Among(closed_ones, partial(_closed_one, stack), Body.ROUTES))
    return PageContent(
        f"{counted(floor, 'batch', len(live))} open" if live else f"No {name} is open",
        tiles=[
            *(_open_one(stack, batch, hours.get(batch.id)) for batch in reversed(live)),
            *(_closed_one(stack, batch) for batch in (closed[:MANY] if ways else closed)),
        ],
        actions=[new, *ways, item("sheet", "A spreadsheet", to_spreadsheet)],
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


def closed_ones(floor: ShopFloor) -> list[Batch]:
    """Return the closed batches, the one closed last first."""
    closed = [batch for batch in floor.all(Batch) if batch.closed_us is not None]
    return sorted(closed, key=lambda batch: (batch.closed_us or 0, batch.id), reverse=True)


def _open_one(stack: PagedPresenter, batch: Batch, hours: HoursToCome | None) -> Action:
    floor, now_us = stack.floor, stack.record.instant()
    told, n = figures(floor, batch.id, now_us), counted(floor, "piece", len(floor.living(batch.id)))
    took = f"{'at least ' if told.at_least else ''}{length_text(told.whole.all_us)}"
    return item(
        f"batch {batch.id}",
        batch_title(floor, batch),
        partial(open_batch, stack, batch),
        f"{n} · {took} {age_text(batch, now_us)}",
        note=" · ".join(part for part in (_to_come(hours), _promised(floor, batch)) if part),
        note_role="text",
        route=route_look(floor, batch),
    )


def _to_come(hours: HoursToCome | None) -> str:
    """Say what is to come, from and to; before it is worked out the words keep their room."""
    if hours is None:
        return "– h to come"
    digits = 0 if hours.high >= 10 else 1
    ends = dict.fromkeys(figure(end, digits) for end in (hours.low, hours.high))
    return f"{' to '.join(ends)} h to come"


def _promised(floor: ShopFloor, batch: Batch) -> str:
    """Say for whom and when pieces of a batch are promised, the earliest; how many more there are."""
    own = [(order.who, promised_day(order)) for order in open_orders(floor) if batch.id in batches_of(floor, order)]
    dated = [(who.split(",")[0], day) for who, day in own if day is not None]
    if not dated:
        return ""
    who, day = dated[0]
    return f"{who} by {day_text(day)}{f' and {len(dated) - 1} more' if len(dated) > 1 else ''}"


def _closed_one(stack: PagedPresenter, batch: Batch) -> Action:
    """A closed batch: what each finished one took, the lost ones carried. It is quieter than an open one."""
    row, least = _rows(stack)[batch.id], batch.id in _least(stack)
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
        role="ground",
    )
