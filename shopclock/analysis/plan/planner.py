"""The plan of a shop as it stands, and what would be otherwise: one place that asks record and draws together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.away import away_min
from shopclock.analysis.forecast.forecast import DRAWS, LIKELY, QUICK_DRAWS, at
from shopclock.analysis.forecast.history import history_of
from shopclock.analysis.forecast.remaining_work import RemainingWork, larger, of_batch, of_pattern
from shopclock.analysis.forecast.shop_hours import week_yields
from shopclock.analysis.forecast.stage_forecast import StageEstimates
from shopclock.analysis.plan.plan import NOTHING_CHANGED, Plan, PlanChange, plan
from shopclock.shop.planning.plan_order import in_order
from shopclock.shop.values.entities import Tool

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.record.read.read_only import Reads
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Pattern

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

    def __init__(self, floor: ShopFloor, reads: Reads, now_us: int) -> None:
        self.floor, self.now_us = floor, now_us
        self.knowledge = StageEstimates(history_of(reads, now_us))
        self.rows = tuple(reads.intervals())
        self.yields = week_yields(floor, self.rows, now_us)
        self.away_min = away_min(floor, self.rows)
        self.open = tuple(of_batch(floor, batch, now_us, self.away_min) for batch in in_order(floor))

    def new(self, pattern: Pattern, pieces: int) -> RemainingWork:
        """Return a batch to come, as its route is now."""
        return of_pattern(self.floor, pattern, pieces, pattern.name, self.away_min)

    def plan(self, *more: RemainingWork, change: PlanChange = NOTHING_CHANGED, draws: int = DRAWS) -> Plan:
        """Plan the open batches, and more after them."""
        return self._plan((*self.open, *more), change, draws)

    def with_more(self, pattern: Pattern, more: int) -> tuple[int, tuple[RemainingWork, ...]] | None:
        """Return the open batches with more blanks in the first of a pattern that wasn't begun, and its place."""
        for i, batch in enumerate(self.open):
            grown = larger(self.floor, batch, more) if batch.pattern_id == pattern.id else None
            if grown is not None:
                return i, (*self.open[:i], grown, *self.open[i + 1 :])
        return None

    def plan_of(self, batches: Sequence[RemainingWork], draws: int = DRAWS) -> Plan:
        """Plan these batches alone."""
        return self._plan(batches, NOTHING_CHANGED, draws)

    def _plan(self, batches: Sequence[RemainingWork], change: PlanChange, draws: int) -> Plan:
        return plan(self.floor, self.knowledge, batches, self.yields, self.now_us, change, draws)

    @property
    def rests_on(self) -> str:
        """Say what the hours rest on where there is little: nothing where four weeks or more are known."""
        n = len(self.yields)
        if not n:
            return "No week with planned hours has been timed yet: counted as if each of them were worked."
        return f"Only {n} past {'week tells' if n == 1 else 'weeks tell'} how planned hours are kept." if n < 4 else ""

    def _at(self, index: int, batches: Sequence[RemainingWork], change: PlanChange) -> float:
        return at(self._plan(batches, change, QUICK_DRAWS).done(index), LIKELY)

    def _tools(self, more: Sequence[RemainingWork]) -> list[Tool]:
        used = {step.tool_id for batch in (*self.open, *more) for step in batch.steps if not step.kind.attended}
        return [tool for tool in self.floor.all(Tool) if tool.id in used]

    def bottleneck(self, index: int, *more: RemainingWork) -> Gain:
        """Return what holds a batch up most, and the days that it costs.

        Tried are half as much work again in the same hours, no waits, tools without limits, and no other batches.
        """
        batches = (*self.open, *more)
        before = self._at(index, batches, NOTHING_CHANGED)
        boundless = {tool.id: 1e6 for tool in self._tools(more)}
        tried = {
            "hours": self._at(index, batches, PlanChange(hours_factor=HALF_AS_MUCH_AGAIN)),
            "waits": self._at(index, batches, PlanChange(no_waits=True)),
            "tools": self._at(index, batches, PlanChange(capacities=boundless)),
            "other batches": self._at(0, batches[index : index + 1], NOTHING_CHANGED),
        }
        what = min(tried, key=lambda name: tried[name])
        return Gain(what, (before - tried[what]) / 1440)
