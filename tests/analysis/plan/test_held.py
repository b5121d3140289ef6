"""Dates beside dates: each past batch as it would have been dated when it began."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.forecast.forecast import Honesty
from shopclock.analysis.forecast.history import Done
from shopclock.analysis.forecast.stage_forecast import ShopEstimates
from shopclock.analysis.plan import held
from shopclock.analysis.plan.held import dates_held
from shopclock.shop.values.entities import Batch
from tests.analysis.planned import planned_shop, planner
from tests.analysis.rows import DAY_US, MIN_US, row

if TYPE_CHECKING:
    from shopclock.analysis.plan.plan import Planner


@pytest.fixture
def past(monkeypatch: pytest.MonkeyPatch) -> Planner:
    """A batch of three closed long ago, the shop's own begun 28 days ago and closed by now; weeks half full."""
    shop = planned_shop(3)
    own = planner(shop)
    now, batch = shop.clock.now_us, next(iter(shop.floor.all(Batch)))
    first = Done(900, 3, 3, 225 * MIN_US, now - 90 * DAY_US, now - 70 * DAY_US)
    second = Done(batch.id, 3, 3, 225 * MIN_US, now - 28 * DAY_US, now)
    rows = tuple(
        row(one.batch_id, 30.0, 3, method=None, stage_id=stage.stage_id, pattern_id=shop.pattern.id,
            first_us=one.started_us, middle_us=one.started_us)
        for one in (first, second)
        for stage in own.new(shop.pattern, 3).stages
    )  # fmt: skip
    own.knowledge = ShopEstimates(replace(own.knowledge.history, rows=rows, batches=(first, second)))
    monkeypatch.setattr(held, "week_yields", lambda *_: (0.5,) * 8)
    return own


def closed_after(own: Planner, days: float) -> Planner:
    first, second = own.knowledge.history.batches
    late = replace(second, closed_us=second.started_us + round(days * DAY_US))
    own.knowledge = ShopEstimates(replace(own.knowledge.history, batches=(first, late)))
    return own


def test_a_batch_closed_in_time_holds_and_one_closed_late_does_not(past: Planner) -> None:
    assert dates_held(closed_after(past, 6)) == Honesty(1, 1), "the first had none before it"
    assert dates_held(closed_after(past, 60)) == Honesty(0, 1)


def test_with_too_few_weeks_known_then_nothing_is_told(past: Planner, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(held, "week_yields", lambda *_: (0.5,) * 3)
    assert dates_held(past).n == 0


def test_work_on_batches_that_were_open_comes_first(past: Planner, monkeypatch: pytest.MonkeyPatch) -> None:
    """Forty hours of another batch in between excuse what would have been late by itself."""
    late = closed_after(past, 25)
    assert dates_held(late).held == 0
    monkeypatch.setattr(held, "_meanwhile", lambda *_: 40 * 60.0)
    assert dates_held(late).held == 1
