"""A plan by time: what is worked when, and what waits meanwhile, in the draw that lies in the middle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.to_do import MINUTE_US

if TYPE_CHECKING:
    from shopclock.analysis.plan import Plan
    from shopclock.analysis.to_do import BatchToDo


@dataclass(frozen=True, slots=True)
class Stretch:
    """Work at a step within the shop's hours, or a wait from its begin to its end. `part` counts a step's stretches."""

    batch: BatchToDo
    step_id: int
    name: str
    work: bool
    part: int
    start_us: int
    end_us: int


def day_by_day(found: Plan, index: int) -> tuple[Stretch, ...]:
    """Return the plan by time in the draw whose date of a batch is the middle one; under a minute is left out."""
    draw = found.median_draw(index)
    told = []
    for j, task in enumerate(found.tasks):
        begin, end = float(found.run.begins[j, draw]), float(found.run.ends[j, draw])
        parts = _within_hours(found, begin, end) if task.labour is not None else [(begin, end)]
        batch = found.batches[task.batch]
        told += [
            Stretch(batch, task.step_id, task.name, task.labour is not None, i, _us(found, s), _us(found, e))
            for i, (s, e) in enumerate((s, e) for s, e in parts if e - s >= 1)
        ]
    return tuple(sorted(told, key=lambda one: (one.start_us, one.end_us)))


def _within_hours(found: Plan, begin: float, end: float) -> list[tuple[float, float]]:
    hours = zip(found.hours.starts.tolist(), found.hours.ends.tolist(), strict=True)
    return [(max(begin, s), min(end, e)) for s, e in hours if s < end and e > begin]


def _us(found: Plan, minutes: float) -> int:
    return found.hours.now_us + round(minutes * MINUTE_US)
