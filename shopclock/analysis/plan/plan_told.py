"""The plan as its screen is told of it: when each batch is done, why not sooner, and day by day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, LIKELY, QUICK_DRAWS, SURER, at
from shopclock.analysis.forecast.remaining_work import MINUTE_US
from shopclock.analysis.plan.plan import ALL_WORKED, HALF_WORKED, Planner
from shopclock.analysis.plan.promise import promised_days, promises, times_text
from shopclock.analysis.plan.rules import DaysRule
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.orders import open_orders, promised_day, short
from shopclock.shop.state.wording import counted, day_text, instant_of, shop_time, zone_of
from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.kinds import Kind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.piece_progress import order_of, through

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from zoneinfo import ZoneInfo

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.forecast.remaining_work import RemainingWork, Task
    from shopclock.analysis.forecast.shop_hours import Hours
    from shopclock.analysis.plan.plan import Gain, Plan
    from shopclock.shop.state.shop_floor import ShopFloor

    Floats = npt.NDArray[np.float64]

NO_LETTERS: Mapping[int, str] = {}


@dataclass(frozen=True, slots=True)
class WorkSpan:
    """Work at a step within the shop's hours, or a wait from its begin to its end. `part` counts a step's stretches."""

    batch: RemainingWork
    step_id: int
    name: str
    kind: Kind
    part: int
    start_us: int
    end_us: int

    @property
    def work(self) -> bool:
        """Somebody is needed."""
        return self.kind.attended


@dataclass(frozen=True, slots=True)
class PlannedSpan:
    """A day's part of a span: from and to in hours of its clock (24 is midnight), of which batch, step and pieces."""

    kind: Kind
    from_h: float
    to_h: float
    batch: str
    step: str
    pieces: str = ""


@dataclass(frozen=True, slots=True)
class PlannedDay:
    """A day on which something is to be worked: how long somebody is at it, and what runs."""

    day: date
    worked_us: int
    spans: tuple[PlannedSpan, ...]


def day_by_day(found: Plan, index: int) -> tuple[WorkSpan, ...]:
    """Return the plan by time in the draw whose date of a batch is the middle one; under a minute is left out."""
    draw = found.median_draw(index)
    told = []
    for j, task in enumerate(found.tasks):
        begin, end = float(found.run.begins[j, draw]), float(found.run.ends[j, draw])
        batch = found.batches[task.batch]
        kind = _kind(batch, task)
        who, there = found.makers[int(found.run.who[j, draw])] if kind.attended else ("", found.hours)
        parts = _within_hours(there, begin, end) if kind.attended else [(begin, end)]
        name = f"{who}: {task.name}" if who and len(found.makers) > 1 else task.name
        told += [
            WorkSpan(batch, task.step_id, name, kind, i, _us(found, s), _us(found, e))
            for i, (s, e) in enumerate((s, e) for s, e in parts if e - s >= 1)
        ]
    return tuple(sorted(told, key=lambda one: (one.start_us, one.end_us)))


def _kind(batch: RemainingWork, task: Task) -> Kind:
    """Return who a step needs; work that was sent out is away."""
    kind = next(step.kind for step in batch.steps if step.step_id == task.step_id)
    return Kind.AWAY if kind.attended and task.labour is None else kind


def _within_hours(there: Hours, begin: float, end: float) -> list[tuple[float, float]]:
    hours = zip(there.starts.tolist(), there.ends.tolist(), strict=True)
    return [(max(begin, s), min(end, e)) for s, e in hours if s < end and e > begin]


def _us(found: Plan, minutes: float) -> int:
    return found.hours.now_us + round(minutes * MINUTE_US)


def letters_left(floor: ShopFloor) -> dict[int, str]:
    """Return the letters that each step of the open batches is still to do, as they are said: C–F."""
    found = {}
    for batch in floor.open_batches():
        reached = through(floor, batch.id)
        for step in order_of(floor, batch.id).timed:
            left = [p.mark for p in floor.living(batch.id) if not p.set_aside and p.id not in reached[step.id]]
            found[step.id] = spoken(left) if left else ""
    return found


def planned_days(
    intervals: Sequence[WorkSpan], zone: ZoneInfo, letters: Mapping[int, str] = NO_LETTERS
) -> tuple[PlannedDay, ...]:
    """Return the days on which somebody is needed, with what runs on them; days that only wait are left out.

    `letters`: pieces of each step, by its number.
    """
    days = {
        shop_time(one.start_us, zone).date() + timedelta(days=n)
        for one in intervals
        if one.work
        for n in range((shop_time(one.end_us - 1, zone).date() - shop_time(one.start_us, zone).date()).days + 1)
    }
    return tuple(_planned_day(day, intervals, zone, letters) for day in sorted(days))


def _planned_day(day: date, intervals: Sequence[WorkSpan], zone: ZoneInfo, letters: Mapping[int, str]) -> PlannedDay:
    begins, ends = (instant_of(datetime.combine(day + timedelta(days=n), time(), zone)) for n in (0, 1))
    own = [one for one in intervals if one.start_us < ends and one.end_us > begins]
    cut = [(one, max(one.start_us, begins), min(one.end_us, ends)) for one in own]
    spans = tuple(
        PlannedSpan(
            one.kind,
            _hour(start, zone),
            24.0 if end == ends else _hour(end, zone),
            one.batch.name,
            one.name,
            letters.get(one.step_id, "") if one.batch.batch_id is not None else "",
        )
        for one, start, end in cut
    )
    return PlannedDay(day, sum(end - start for one, start, end in cut if one.work), spans)


def _hour(at_us: int, zone: ZoneInfo) -> float:
    at = shop_time(at_us, zone)
    return at.hour + at.minute / 60 + at.second / 3600


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
    """Day by which a batch is done and how sure that is, another day and when that is so; nothing where too far off."""

    batch_id: int
    day: date | None
    sure: str
    other: date | None
    other_if: str
    surer: date | None = None
    """The day by which it is done 19 times in 20; nothing where that can't be told."""

    @property
    def note(self) -> str:
        """Words beside the day: 8 times in 10; Sun 6 Dec if all goes well."""
        return f"{self.sure}; {day_text(self.other) if self.other is not None else FAR} {self.other_if}"


@dataclass(frozen=True, slots=True)
class PlanTold:
    """The open batches in the order of work; sentences: all of it, what no longer holds, what holds it up, the rest."""

    batches: tuple[BatchDone, ...]
    whole: str
    late: tuple[str, ...]
    held_up: str
    notes: tuple[str, ...]
    days: tuple[PlannedDay, ...]
    rule: DaysRule
    """Today, and the days that orders were promised for."""


def plan_told(path: str, now_us: int, draws: int = DRAWS) -> PlanTold:
    """Plan the open batches of a record; with few draws what holds them up is not looked for.

    ShopError where there are no hours. There has to be an open batch.
    """
    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.floor
        planner = Planner(floor, reading.reads, now_us)
        found = planner.plan_of((*planner.open, *planner.owed(draws)), draws)
        last, waits = len(planner.open) - 1, ", ".join(found.guessed)
        guessed = f"No length is set for {waits}: counted as over night, or a week where it is away." if waits else ""
        return PlanTold(
            tuple(_done(floor, found, i) for i in range(len(planner.open))),
            _whole(floor, found, len(planner.open)),
            late(floor, found),
            held_up(found.batches[last].name, planner.bottleneck(last)) if draws > QUICK_DRAWS else "",
            tuple(note for note in (owed_told(floor, planner.owed(draws)), guessed, planner.rests_on) if note),
            planned_days(day_by_day(found, last), zone_of(floor), letters_left(floor)),
            DaysRule(shop_time(now_us, zone_of(floor)).date(), (), promised_days(floor, promises(floor, found))),
        )


def owed_told(floor: ShopFloor, to_begin: Sequence[RemainingWork]) -> str:
    """Say what has to be begun for orders that have no letter; nothing where there are pieces enough."""
    if not to_begin:
        return ""
    what = "; ".join(
        f"{counted(floor, 'piece', batch.pieces)} of {batch.name} for {_for_whom(floor, batch.pattern_id)}"
        for batch in to_begin
    )
    return f"Still to begin, and counted in: {what}."


def _for_whom(floor: ShopFloor, pattern_id: int) -> str:
    found = (order for order in open_orders(floor) if order.pattern_id == pattern_id and short(floor, order))
    return ", ".join(order.who for order in found) or "what is promised"


def _done(floor: ShopFloor, found: Plan, index: int) -> BatchDone:
    day, other, words = _two_days(floor, found, found.done(index))
    surer = _day(floor, found.instant(at(found.done(index), SURER))) if found.dated else None
    return BatchDone(found.batches[index].batch_id or 0, day, found.how_sure, other, words, surer)


FAR = "too far off"


def _two_days(floor: ShopFloor, found: Plan, done: Floats) -> tuple[date | None, date | None, str]:
    """Return the day at 80 % and the other that is told beside it, and the words for that."""
    day = _day(floor, found.instant(at(done, LIKELY)))
    if found.dated:
        return day, _day(floor, found.instant(at(done, WELL))), "if all goes well"
    return day, _day(floor, found.instant(at(found.hours.at_half(done), LIKELY))), HALF_WORKED


def _day(floor: ShopFloor, at_us: int | None) -> date | None:
    return shop_time(at_us, zone_of(floor)).date() if at_us is not None else None


def _whole(floor: ShopFloor, found: Plan, n: int) -> str:
    """Say when the first n batches are done: those that are open."""
    import numpy as np

    what = f"All {counted(floor, 'batch', n)} done" if n > 1 else f"{found.batches[0].name} done"
    day, other, words = _two_days(floor, found, np.max([found.done(i) for i in range(n)], axis=0))
    if day is None:
        return f"{what} on no day within two years: too few hours are worked"
    beside = f"by {day_text(other)} {words}" if other is not None else f"on no day within two years {words}"
    return f"{what} by {day_text(day)}, {found.how_sure}; {beside}"


def late(floor: ShopFloor, found: Plan) -> tuple[str, ...]:
    """Say which promises no longer hold."""
    told = []
    for held in promises(floor, found):
        day = promised_day(held.order)
        if held.holds < LIKELY and day is not None:
            often = f"holds {times_text(held.holds)}" if found.dated else f"too late even {ALL_WORKED}"
            why = f"lacks {held.lacks}" if held.lacks else often
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
