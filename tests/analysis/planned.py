"""A small shop to plan in: a route with minutes, no history but what a test gives it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopclock.analysis.plan.plan import Planner
from shopclock.shop.setup import week
from shopclock.shop.values.kinds import Kind
from tests.shop.workshop import ROUTE, Shop

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from shopclock.record.read.rows import BatchRow, IntervalRow
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.routes.starter_route import StarterRoute

MINUTES = {"Saw": 10.0, "Bevel": 30.0, "Scales": 10.0, "Glue": 5.0, "Sharpen": 10.0}


@dataclass
class NoReads:
    """What a record without closed batches says."""

    rows: Sequence[TrendRow] = ()
    made: Sequence[BatchRow] = ()
    worked: Sequence[IntervalRow] = ()

    def stage_rows(self, _now_us: int) -> tuple[TrendRow, ...]:
        return tuple(self.rows)

    def batches(self) -> Iterator[BatchRow]:
        return iter(self.made)

    def intervals(self) -> Iterator[IntervalRow]:
        return iter(self.worked)


STEPS = tuple(replace(step, minutes=MINUTES.get(step.name)) for step in ROUTE.steps)


WHOLE = replace(ROUTE, steps=STEPS)
BY_HAND = replace(ROUTE, steps=tuple(replace(s, tool=None) for s in STEPS if s.kind is Kind.HANDS_ON), rules=())


def planned_shop(n: int = 3, *, with_hours: bool = True, route: StarterRoute = WHOLE) -> Shop:
    """A shop whose route has minutes, open on every evening from 18 to 21."""
    shop = Shop(n, route)
    for day in range(7) if with_hours else ():
        shop.press(lambda tx, day=day: week.add_hours(tx, day, 18 * 60, 21 * 60))
    return shop


def planner(shop: Shop, reads: NoReads | None = None) -> Planner:
    return Planner(shop.floor, reads or NoReads(), shop.clock.now_us)  # type: ignore[arg-type]  # says the same things
