"""Changes tried on the plan: one more evening, a larger tool, work sent out, another batch size."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import EVEN, LIKELY, QUICK_DRAWS, at
from shopclock.analysis.money.cost import Overhead, SendOut, paid, send_out
from shopclock.analysis.money.earnings import price_range, spread
from shopclock.analysis.plan.plan import NOTHING_CHANGED, PlanChange, Planner
from shopclock.analysis.plan.plan_told import days_text
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import over_promised
from shopclock.shop.setup.rates import rates
from shopclock.shop.setup.sent_out import price_of
from shopclock.shop.setup.week import WEEKDAYS, clock, week
from shopclock.shop.state.wording import MINUTE_US, counted, day_text, length_text, shop_time, zone_of
from shopclock.shop.values.entities import Pattern, Per, Stage, Tool
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Kind
from shopclock.shop.values.money import money_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from shopclock.analysis.forecast.remaining_work import RemainingWork
    from shopclock.analysis.plan.plan import Plan
    from shopclock.shop.setup.rates import Rates
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import CostItem
    from shopclock.shop.values.money import Manner

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class SentOutTold:
    """Price of sending a stage out, the own work that it saves, and from which batch size on it pays."""

    price: str
    work: str


def sent_out_told(floor: ShopFloor, found: Plan, stage_id: int, manner: Manner) -> SentOutTold:
    """Say what sending a stage out costs and saves for all batches of a plan that have it still to do."""
    pattern = next(b.pattern_id for b in reversed(found.batches) if any(s.stage_id == stage_id for s in b.steps))
    items, own = price_of(floor, stage_id, pattern), rates(floor)
    saved = f"{length_text(round(own_minutes(found, stage_id) * MINUTE_US))} less work"
    if not items:
        return SentOutTold("no price yet", saved)
    once, each = (_sum(items, per, own) for per in (Per.BATCH, Per.PIECE))
    parts = [(each, "each"), (once, "a batch")]
    price = " and ".join(f"{money_text(money, own.currency, manner)} {per}" for money, per in parts if money)
    return SentOutTold(price or "for nothing", f"{saved}; {_sending_pays(floor, found, stage_id, (once, each), own)}")


def own_minutes(found: Plan, stage_id: int) -> float:
    """Return the labour that a stage still takes in all batches of a plan, in the middle of the draws."""
    stage_of = {(i, step.step_id): step.stage_id for i, batch in enumerate(found.batches) for step in batch.steps}
    own = [t.labour for t in found.tasks if t.labour is not None and stage_of[t.batch, t.step_id] == stage_id]
    return at(sum(own[1:], own[0]), EVEN) if own else 0.0


def _sum(items: Iterable[CostItem], per: Per, own: Rates) -> Decimal:
    return sum((paid(item, own) for item in items if item.per is per and item.currency == own.currency), ZERO)


def _sending_pays(floor: ShopFloor, found: Plan, stage_id: int, sent: tuple[Decimal, Decimal], own: Rates) -> str:
    """Say from which batch size on sending out costs no more than the own minutes, at the rate that is wished."""
    if not own.hour:
        return "no rate for an hour is set"
    stages = (s for told in reversed(found.forecasts) for s in told.stages if s.job.stage_id == stage_id)
    stage = next(stages)
    pays = send_out(Decimal(str(stage.once_min)), Decimal(str(stage.piece_min)), *sent, own.hour)
    return pays_text(floor, pays)


def pays_text(floor: ShopFloor, pays: SendOut) -> str:
    """Say it: pays from 4 blades a batch; pays up to 6; never pays."""
    if pays.from_pieces is None:
        return "never pays at your rate"
    if pays.to_pieces is not None and pays.from_pieces > 1:
        return f"pays from {pays.from_pieces} to {counted(floor, 'piece', pays.to_pieces)} a batch"
    if pays.to_pieces is not None:
        return f"pays up to {counted(floor, 'piece', pays.to_pieces)} a batch"
    if pays.from_pieces == 1:
        return "pays at any size"
    return f"pays from {counted(floor, 'piece', pays.from_pieces)} a batch"


TELLING = 0.5
"""Days below which a change makes no difference that a plan in days can tell."""
A_WEEK = 7.0
EVENING = (19 * 60, 21 * 60)
LIKED = (3, 1, 0, 2, 4, 5, 6)
"""Days on which one more evening is tried, the first that has no hours yet; Monday is 0."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """Changes to try: a new batch of two sizes, which evening more (weekday, from, to), what tools hold instead."""

    pattern_id: int
    sizes: tuple[int, int] = (5, 8)
    evening: tuple[int, int, int] | None = None
    holds: tuple[tuple[int, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Tried:
    """A change, what it is in figures, and what it does. `key` says which: evening, tool 3, sent 4, size 0."""

    key: str
    title: str
    detail: str
    told: str


@dataclass(frozen=True, slots=True)
class WhatIf:
    """Answer as things are, and each change by itself."""

    whole: str
    tried: tuple[Tried, ...]


@dataclass(frozen=True, slots=True)
class _Now:
    """The plan as things are, the batch whose date is looked at, and what is planned after the open ones."""

    planner: Planner
    found: Plan
    index: int
    more: tuple[RemainingWork, ...]
    over: Overhead
    manner: Manner

    @property
    def floor(self) -> ShopFloor:
        """The shop."""
        return self.planner.floor

    def done(self, change: PlanChange = NOTHING_CHANGED) -> float:
        """Minutes from now by which the batch is done 8 times in 10."""
        same = change is NOTHING_CHANGED
        found = self.found if same else self.planner.plan(*self.more, change=change, draws=QUICK_DRAWS)
        return at(found.done(self.index), LIKELY)


def what_if(path: str, now_us: int, chosen: Chosen, manner: Manner) -> WhatIf:
    """Try each change on the last of the open batches, and two sizes of a new one, few draws each.

    Where no batch is open the changes are tried on the new one. ShopError where there are no hours.
    """
    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.floor
        planner = Planner(floor, reading.reads, now_us)
        pattern = floor.get(Pattern, chosen.pattern_id)
        more = owed = planner.owed(QUICK_DRAWS)
        if not planner.open and not owed:
            more = (planner.new(pattern, chosen.sizes[0]),)
        found = planner.plan(*more, draws=QUICK_DRAWS)
        last = len(found.batches) - 1
        now = _Now(planner, found, last, more, _spread(planner), manner)
        to_begin = ", promised and still to begin," if owed else ""
        whole = f"{found.batches[last].name}{to_begin} is done by {_day(floor, found, now.done())}, {found.how_sure}"
        tried = (_evening(now, chosen), *_tools(now, chosen), *_sent_out(now), *_sizes(now, pattern, chosen.sizes))
        return WhatIf(whole, tried)


def _spread(planner: Planner) -> Overhead:
    """Return the overhead; none where costs are in two currencies: then no price is told either."""
    try:
        return spread(planner.floor, planner.rows, planner.now_us)
    except ShopError:
        return Overhead()


def _evening(now: _Now, chosen: Chosen) -> Tried:
    weekday, start, end = chosen.evening or (first_free(now.floor), *EVENING)
    detail = f"{WEEKDAYS[weekday]}, {clock(start)} to {clock(end)}"
    return Tried("evening", "One more evening", detail, _gained(now, PlanChange(extra_hours=((weekday, start, end),))))


def first_free(floor: ShopFloor) -> int:
    """Return a day of the week without planned hours, Thursday first; where all have some, Thursday."""
    planned = {hours.weekday for hours in week(floor)}
    return next((day for day in LIKED if day not in planned), LIKED[0])


def _gained(now: _Now, change: PlanChange) -> str:
    """Say what a change does: 11 days sooner, by Thu 4 Feb."""
    before, after = now.done(), now.done(change)
    days = (before - after) / 1440
    if abs(days) < TELLING:
        return "no day sooner or later"
    return f"{days_text(days)} {'sooner' if days > 0 else 'later'}, by {_day(now.floor, now.found, after)}"


def _tools(now: _Now, chosen: Chosen) -> Iterator[Tried]:
    """Yield each tool that waits need: twice as large, or as large as was chosen."""
    used = {step.tool_id for batch in now.found.batches for step in batch.steps if not step.kind.attended}
    holds = dict(chosen.holds)
    for tool in now.floor.all(Tool):
        if tool.id in used and tool.capacity is not None:
            n = holds.get(tool.id, 2 * tool.capacity)
            told = _gained(now, PlanChange(capacities={tool.id: n}))
            named = f"{tool.name[:1].upper()}{tool.name[1:]}"
            yield Tried(f"tool {tool.id}", f"{named}: room for {n:g}", f"instead of {tool.capacity:g}", told)


def _sent_out(now: _Now) -> Iterator[Tried]:
    """Yield each stage that somebody stays by (a heat) as if it were done elsewhere."""
    steps = (step for batch in now.found.batches for step in batch.steps if step.kind is Kind.WATCH)
    for stage_id in dict.fromkeys(step.stage_id for step in steps):
        days = now.planner.away_min.get(stage_id, A_WEEK * 1440) / 1440
        name = now.floor.get(Stage, stage_id).name
        told = sent_out_told(now.floor, now.found, stage_id, now.manner)
        gained = _gained(now, PlanChange(sent_out={stage_id: days}))
        back = f"back in {days_text(days)}"
        yield Tried(f"sent {stage_id}", f"{name} sent out", f"{back}, {told.price}", f"{gained}; {told.work}")


def _sizes(now: _Now, pattern: Pattern, sizes: tuple[int, int]) -> Iterator[Tried]:
    """Yield a new batch of each size, worked after all that are open; what orders still lack comes out of it."""
    others = [batch for batch in now.planner.owed(QUICK_DRAWS) if batch.pattern_id != pattern.id]
    lacks = over_promised(now.floor).get(pattern.id, 0)
    detail = f"new, after what is open; {lacks} promised" if lacks else "new, after what is open"
    for i, pieces in enumerate(sizes):
        found = now.planner.plan(*others, now.planner.new(pattern, pieces), draws=QUICK_DRAWS)
        done = at(found.done(len(found.batches) - 1), LIKELY)
        said = (f"by {_day(now.floor, found, done)}", _each(found), _pays(now, found, pattern))
        title = f"{counted(now.floor, 'piece', pieces)} of {pattern.name}"
        yield Tried(f"size {i}", title, detail, ", ".join(part for part in said if part))


def _each(found: Plan) -> str:
    """Say what a finished piece of the new batch takes of the hands, in the middle of the draws."""
    told = found.forecasts[-1]
    finished = int(at(told.finished, EVEN))
    return f"{length_text(round(at(told.total_min, EVEN) / finished * MINUTE_US))} each" if finished else ""


def _pays(now: _Now, found: Plan, pattern: Pattern) -> str:
    """Say the lowest price that pays 8 times in 10; nothing where none can be told, or no rate is set."""
    own = rates(now.floor)
    if not own.hour:
        return ""
    try:
        prices = price_range(now.floor, found.forecasts[-1], pattern, now.over, (LIKELY,))
    except ShopError:
        return ""
    return f"pays at {money_text(prices[LIKELY], own.currency, now.manner)}" if LIKELY in prices else ""


def _day(floor: ShopFloor, found: Plan, minutes: float) -> str:
    if minutes > found.hours.ends[-1]:
        return "a day more than two years off"
    day = day_text(shop_time(found.hours.now_us + round(minutes * MINUTE_US), zone_of(floor)).date())
    return day.replace(" ", "\u00a0")


def held(chosen: Chosen, tool_id: int, n: float) -> Chosen:
    """Return what is tried, with a tool that holds so much."""
    return replace(chosen, holds=(*((t, c) for t, c in chosen.holds if t != tool_id), (tool_id, n)))
