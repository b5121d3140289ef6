"""The plan as its screen is told of it, worked out beside the window: when each batch is done, why not sooner."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, LIKELY, QUICK_DRAWS, at
from shopclock.analysis.plan.day_by_day import PlannedDay, day_by_day, planned_days
from shopclock.analysis.plan.planner import Planner
from shopclock.analysis.plan.promise import promises, times_text
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import promised_day
from shopclock.shop.state.wording import MINUTE_US, counted, day_text, shop_time, zone_of
from shopclock.shop.values.entities import Pattern

if TYPE_CHECKING:
    from datetime import date

    from shopclock.analysis.plan.plan import Plan
    from shopclock.analysis.plan.planner import Gain
    from shopclock.shop.state.shop_floor import ShopFloor

WELL = 0.1
"""If all goes well: once in ten times it is done by then."""
HELD_UP = {
    "hours": "the hours: half as much work again in them brings it {days} nearer",
    "waits": "its waits: without them it would be done {days} sooner",
    "tools": "how much the tools hold: without a limit it would be done {days} sooner",
    "other batches": "the work before it: alone it would be done {days} sooner",
}


@dataclass(frozen=True, slots=True)
class BatchDone:
    """By which day a batch is done 8 times in 10, and if all goes well; nothing where that is too far off."""

    batch_id: int
    likely: date | None
    well: date | None


@dataclass(frozen=True, slots=True)
class PlanTold:
    """The open batches in the order of work; sentences: all of it, what no longer holds, what holds it up, the rest."""

    batches: tuple[BatchDone, ...]
    whole: str
    late: tuple[str, ...]
    held_up: str
    notes: tuple[str, ...]
    days: tuple[PlannedDay, ...]


def plan_told(path: str, now_us: int, draws: int = DRAWS) -> PlanTold:
    """Plan the open batches of a record; with few draws what holds them up is not looked for.

    ShopError where there are no hours. There has to be an open batch.
    """
    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.floor
        planner = Planner(floor, reading.reads, now_us)
        found = planner.plan(draws=draws)
        last = len(found.batches) - 1
        return PlanTold(
            tuple(_done(floor, found, i) for i in range(len(found.batches))),
            _whole(floor, found),
            late(floor, found),
            held_up(found.batches[last].name, planner.bottleneck(last)) if draws > QUICK_DRAWS else "",
            tuple(note for note in (_guessed(found), planner.rests_on) if note),
            planned_days(day_by_day(found, last), zone_of(floor)),
        )


def _done(floor: ShopFloor, found: Plan, index: int) -> BatchDone:
    likely, well = (found.done_us(index, share) for share in (LIKELY, WELL))
    return BatchDone(found.batches[index].batch_id or 0, _day(floor, likely), _day(floor, well))


def _day(floor: ShopFloor, at_us: int | None) -> date | None:
    return shop_time(at_us, zone_of(floor)).date() if at_us is not None else None


def _whole(floor: ShopFloor, found: Plan) -> str:
    """Say when all open batches are done."""
    import numpy as np

    n = len(found.batches)
    what = f"All {counted(floor, 'batch', n)} done" if n > 1 else f"{found.batches[0].name} done"
    done = np.max([found.done(i) for i in range(n)], axis=0)
    if at(done, LIKELY) > found.hours.ends[-1]:
        return f"{what} on no day within two years: too few hours are worked"
    likely, well = (found.hours.now_us + round(at(done, share) * MINUTE_US) for share in (LIKELY, WELL))
    days = [day_text(shop_time(at_us, zone_of(floor)).date()) for at_us in (likely, well)]
    return f"{what} by {days[0]}, {times_text(LIKELY)}; by {days[1]} if all goes well"


def late(floor: ShopFloor, found: Plan) -> tuple[str, ...]:
    """Say which promises no longer hold."""
    told = []
    for held in promises(floor, found):
        day = promised_day(held.order)
        if held.holds < LIKELY and day is not None:
            why = f"lacks {held.lacks}" if held.lacks else f"holds {times_text(held.holds)}"
            what = f"{held.order.wanted} {floor.get(Pattern, held.order.pattern_id).name}"
            told.append(f"{held.order.who}, {what} by {day_text(day)}: {why}")
    return tuple(told)


def held_up(name: str, found: Gain) -> str:
    """Say what holds a batch up most, and what doing without would bring."""
    if found.days < 0.5:
        return f"Nothing alone holds {name} up by half a day."
    return f"What holds {name} up most is {HELD_UP[found.what].format(days=days_text(found.days))}."


def days_text(days: float) -> str:
    """Say a number of days: 1 day, 12 days."""
    n = round(abs(days))
    return f"{n} {'day' if n == 1 else 'days'}" if n else "half a day"


def _guessed(found: Plan) -> str:
    """Say which waits were taken to last over night, or a week."""
    names = ", ".join(found.guessed)
    return f"No length is set for {names}: counted as over night, or a week where it is away." if names else ""
