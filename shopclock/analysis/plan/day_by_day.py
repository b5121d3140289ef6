"""A plan by time: what is worked when, and what waits meanwhile, in the draw that lies in the middle."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.remaining_work import MINUTE_US
from shopclock.shop.state.wording import instant_of, shop_time
from shopclock.shop.values.kinds import Kind

if TYPE_CHECKING:
    from collections.abc import Sequence
    from zoneinfo import ZoneInfo

    from shopclock.analysis.forecast.remaining_work import RemainingWork
    from shopclock.analysis.forecast.task import Task
    from shopclock.analysis.plan.plan import Plan

HOUR_US = 60 * MINUTE_US


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
        """Whether somebody is needed."""
        return self.kind.attended


@dataclass(frozen=True, slots=True)
class PlannedSpan:
    """What a day has of a stretch: from and to in hours of its clock (24 is midnight), of which batch, which step."""

    kind: Kind
    from_h: float
    to_h: float
    batch: str
    step: str


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
        parts = _within_hours(found, begin, end) if kind.attended else [(begin, end)]
        told += [
            WorkSpan(batch, task.step_id, task.name, kind, i, _us(found, s), _us(found, e))
            for i, (s, e) in enumerate((s, e) for s, e in parts if e - s >= 1)
        ]
    return tuple(sorted(told, key=lambda one: (one.start_us, one.end_us)))


def _kind(batch: RemainingWork, task: Task) -> Kind:
    """Return who a step needs; work that was sent out is away."""
    kind = next(step.kind for step in batch.steps if step.step_id == task.step_id)
    return Kind.AWAY if kind.attended and task.labour is None else kind


def _within_hours(found: Plan, begin: float, end: float) -> list[tuple[float, float]]:
    hours = zip(found.hours.starts.tolist(), found.hours.ends.tolist(), strict=True)
    return [(max(begin, s), min(end, e)) for s, e in hours if s < end and e > begin]


def _us(found: Plan, minutes: float) -> int:
    return found.hours.now_us + round(minutes * MINUTE_US)


def planned_days(intervals: Sequence[WorkSpan], zone: ZoneInfo) -> tuple[PlannedDay, ...]:
    """Return the days on which somebody is needed, with what runs on them; days that only wait are left out."""
    days = {
        shop_time(one.start_us, zone).date() + timedelta(days=n)
        for one in intervals
        if one.work
        for n in range((shop_time(one.end_us - 1, zone).date() - shop_time(one.start_us, zone).date()).days + 1)
    }
    return tuple(_day(day, intervals, zone) for day in sorted(days))


def _day(day: date, intervals: Sequence[WorkSpan], zone: ZoneInfo) -> PlannedDay:
    begins, ends = (instant_of(datetime.combine(day + timedelta(days=n), time(), zone)) for n in (0, 1))
    own = [one for one in intervals if one.start_us < ends and one.end_us > begins]
    cut = [(one, max(one.start_us, begins), min(one.end_us, ends)) for one in own]
    spans = tuple(
        PlannedSpan(one.kind, _hour(start, zone), 24.0 if end == ends else _hour(end, zone), one.batch.name, one.name)
        for one, start, end in cut
    )
    return PlannedDay(day, sum(end - start for one, start, end in cut if one.work), spans)


def _hour(at_us: int, zone: ZoneInfo) -> float:
    at = shop_time(at_us, zone)
    return at.hour + at.minute / 60 + at.second / 3600
