"""How long a plan takes, by batches and draws, and what one step in one draw costs."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.forecast.history import History
from shopclock.analysis.forecast.remaining_work import of_pattern
from shopclock.analysis.forecast.stage_forecast import ShopEstimates
from shopclock.analysis.plan.plan import plan
from shopclock.places import resource
from shopclock.shop.routes.route_file import StarterRoutes
from shopclock.shop.setup import patterns
from tests.analysis.planned import planned_shop
from tests.analysis.rows import row
from tests.speed.report import say

if TYPE_CHECKING:
    from tests.shop.workshop import Shop

pytestmark = pytest.mark.speed

YIELDS = (0.7, 0.5, 0.9, 0.0, 0.6, 0.8, 0.75, 0.4, 0.6, 0.9, 0.3, 0.7)


def planned() -> tuple[Shop, History]:
    """A shop whose newest pattern has a starter route of twenty steps, each stage with twenty batches behind it."""
    shop = planned_shop(7)
    route = next(one for one in StarterRoutes(resource("routes")) if len(one.steps) >= 20)
    shop.pattern = shop.press(lambda tx: patterns.copy_route(tx, route, "Long"))
    stages = dict.fromkeys(s.stage_id for s in of_pattern(shop.floor, shop.pattern, 7, "").steps)
    rows = tuple(
        row(i + 1, 20.0 + (i * 7 + n) % 5, method=None, stage_id=stage, pattern_id=shop.pattern.id)
        for n, stage in enumerate(stages)
        for i in range(20)
    )
    return shop, History(rows, (), {})


def test_ten_batches_in_ten_thousand_draws() -> None:
    """What a step in a draw costs, and whether it grows with batches or draws; a report."""
    shop, history = planned()
    say("batches   draws   steps    time   per step and draw")
    costs, took = {}, {}
    for batches, draws in ((1, 10_000), (3, 10_000), (10, 1_000), (10, 10_000), (10, 40_000), (20, 10_000)):
        ahead = [of_pattern(shop.floor, shop.pattern, 7, str(i)) for i in range(batches)]
        times = []
        for _ in range(3):
            start = time.perf_counter()
            found = plan(shop.floor, ShopEstimates(history), ahead, YIELDS, shop.clock.now_us, draws=draws)
            times.append(time.perf_counter() - start)
        assert found.done(batches - 1).min() > 0
        took[batches, draws] = min(times)
        costs[batches, draws] = min(times) / len(found.tasks) / draws
        say(f"{batches:7} {draws:7} {len(found.tasks):7} {min(times):6.2f} s {costs[batches, draws] * 1e9:9.0f} ns")
    ratio = costs[20, 10_000] / costs[10, 10_000], costs[10, 40_000] / costs[10, 10_000]
    say(f"twice the batches: {ratio[0]:.2f} times a step's cost; four times the draws: {ratio[1]:.2f} times (goal: 1)")
    say(f"ten batches in 10,000 draws: {took[10, 10_000]:.2f} s (goal: under 2 s)")
