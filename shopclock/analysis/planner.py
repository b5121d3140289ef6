"""The plan of a shop as it stands, and what would be otherwise: one place that asks record and draws together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.away import away_min
from shopclock.analysis.forecast import DRAWS, LIKELY, QUICK_DRAWS, at
from shopclock.analysis.history import history_of
from shopclock.analysis.plan import NOTHING_CHANGED, Change, Plan, plan
from shopclock.analysis.shop_hours import week_yields
from shopclock.analysis.stage_forecast import Knowledge
from shopclock.analysis.to_do import BatchToDo, larger, of_batch, of_pattern
from shopclock.shop.plan_order import in_order
from shopclock.shop.values import Tool

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.record.reading import Reads
    from shopclock.shop.floor import Floor
    from shopclock.shop.values import Pattern

HALF_AS_MUCH_AGAIN = 1.5


@dataclass(frozen=True, slots=True)
class Gain:
    """What holds a batch up, and by how many days the date at 80 % would come nearer without it."""

    what: str
    days: float


class Planner:
    """Plans of one shop at one moment. `yields` are the last weeks' labour over planned hours.

    `rows` are all intervals, read once: years of them take longer than the plan.
    """

    def __init__(self, floor: Floor, reads: Reads, now_us: int) -> None:
        self.floor, self.now_us = floor, now_us
        self.knowledge = Knowledge(history_of(reads, now_us))
        self.rows = tuple(reads.intervals())
        self.yields = week_yields(floor, self.rows, now_us)
        self.away_min = away_min(floor, self.rows)
        self.open = tuple(of_batch(floor, batch, now_us, self.away_min) for batch in in_order(floor))

    def new(self, pattern: Pattern, pieces: int) -> BatchToDo:
        """Return a batch to come, as its route is now."""
        return of_pattern(self.floor, pattern, pieces, pattern.name, self.away_min)

    def plan(self, *more: BatchToDo, change: Change = NOTHING_CHANGED, draws: int = DRAWS) -> Plan:
        """Plan the open batches, and more after them."""
        return self._plan((*self.open, *more), change, draws)

    def with_more(self, pattern: Pattern, more: int) -> tuple[int, tuple[BatchToDo, ...]] | None:
        """Return the open batches with more blanks in the first of a pattern that wasn't begun, and its place."""
        for i, batch in enumerate(self.open):
            grown = larger(self.floor, batch, more) if batch.pattern_id == pattern.id else None
            if grown is not None:
                return i, (*self.open[:i], grown, *self.open[i + 1 :])
        return None

    def plan_of(self, batches: Sequence[BatchToDo], draws: int = DRAWS) -> Plan:
        """Plan these batches alone."""
        return self._plan(batches, NOTHING_CHANGED, draws)

    def _plan(self, batches: Sequence[BatchToDo], change: Change, draws: int) -> Plan:
        return plan(self.floor, self.knowledge, batches, self.yields, self.now_us, change, draws)

    @property
    def rests_on(self) -> str:
        """Say what the hours rest on where there is little: nothing where four weeks or more are known."""
        n = len(self.yields)
        if not n:
            return "No week with planned hours has been timed yet: counted as if each of them were worked."
        return f"Only {n} past {'week tells' if n == 1 else 'weeks tell'} how planned hours are kept." if n < 4 else ""

    def _at(self, index: int, batches: Sequence[BatchToDo], change: Change) -> float:
        return at(self._plan(batches, change, QUICK_DRAWS).done(index), LIKELY)

    def _tools(self, more: Sequence[BatchToDo]) -> list[Tool]:
        used = {step.tool_id for batch in (*self.open, *more) for step in batch.steps if not step.kind.attended}
        return [tool for tool in self.floor.all(Tool) if tool.id in used]

    def bottleneck(self, index: int, *more: BatchToDo) -> Gain:
        """Return what holds a batch up most, and the days that it costs.

        Tried are half as much work again in the same hours, no waits, tools without limits, and no other batches.
        """
        batches = (*self.open, *more)
        before = self._at(index, batches, NOTHING_CHANGED)
        boundless = {tool.id: 1e6 for tool in self._tools(more)}
        tried = {
            "hours": self._at(index, batches, Change(hours_factor=HALF_AS_MUCH_AGAIN)),
            "waits": self._at(index, batches, Change(no_waits=True)),
            "tools": self._at(index, batches, Change(capacities=boundless)),
            "other batches": self._at(0, batches[index : index + 1], NOTHING_CHANGED),
        }
        what = min(tried, key=lambda name: tried[name])
        return Gain(what, (before - tried[what]) / 1440)
