"""How long pieces are away: by the record, else as told, else a week; what it costs where the route sends it out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.forecast.remaining_work import away_min
from shopclock.record.read.rows import IntervalRow
from shopclock.shop.setup import costs, sent_out
from shopclock.shop.values.entities import CostItem, CostKind, Pattern, Per
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from shopclock.shop.work import begin
from tests.analysis.planned import STEPS, WHOLE, NoReads, planned_shop, planner

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.forecast.remaining_work import RemainingStep, RemainingWork
    from tests.shop.workshop import Shop

DAY_MIN = 24 * 60.0
OUT = replace(
    WHOLE,
    steps=tuple(
        replace(s, kind=Kind.AWAY, wait_s=None, tool=None, begins_itself=False) if s.key == "temper" else s
        for s in STEPS
    ),
)


def away(shop: Shop, stage: str, days: float, start_day: int = 0) -> IntervalRow:
    start = shop.clock.now_us - round((100 - start_day) * DAY_MIN * 60e6)
    end = start + round(days * DAY_MIN * 60e6)
    return IntervalRow(
        id=1, uuid="", batch_id=9, stage_id=shop.stage(stage).id, method_id=None, batch="26-00", pattern="",
        stage=stage, step=stage, method="", maker="", kind=Kind.AWAY, work=WorkKind.RUN, cause="", pieces=("A",),
        start_us=start, end_us=end, certainty=Certainty.PRESSED, together=False, labour_us=0, notes="",
    )  # fmt: skip


def hardening(shop: Shop, stage: str = "Temper") -> CostItem:
    item = shop.press(lambda tx: costs.add_cost(tx, "Heat treater", CostKind.BOUGHT_OUT, Per.PIECE, "8"))
    return shop.press(lambda tx: sent_out.stands_for(tx, item, shop.stage(stage)))


def temper(batch: RemainingWork) -> RemainingStep:
    return next(step for step in batch.steps if step.name == "Temper")


def waits(shop: Shop, rows: Sequence[IntervalRow] = ()) -> tuple[float, bool]:
    """How long a new batch's Temper is counted as, in days, and whether that was assumed."""
    step = temper(planner(shop, NoReads(worked=rows)).new(shop.pattern, 3))
    return step.wait_min / DAY_MIN, step.guessed


def test_what_was_never_sent_out_is_away_for_a_week_then_as_told_then_as_it_was() -> None:
    shop = planned_shop(3, route=OUT)
    assert waits(shop) == (7, True)
    item = hardening(shop)
    shop.press(lambda tx: sent_out.set_days(tx, item, "10"))
    assert waits(shop) == (10, False)
    assert waits(shop, [away(shop, "Temper", days, i) for i, days in enumerate((3, 9, 4))]) == (4, False)


def test_the_last_eight_times_count() -> None:
    shop = planned_shop(3, route=OUT)
    rows = [away(shop, "Temper", days, i) for i, days in enumerate((30, 30, 30, *(5,) * 8))]
    assert away_min(shop.floor, rows) == {shop.stage("Temper").id: 5 * DAY_MIN}


def test_pieces_that_are_away_already_come_back_that_much_sooner() -> None:
    shop = planned_shop(3, route=OUT)
    item = hardening(shop)
    shop.press(lambda tx: sent_out.set_days(tx, item, "10"))
    shop.press(lambda tx: begin.begin(tx, shop.step("Temper")))
    shop.clock.on(4 * DAY_MIN)
    held = temper(planner(shop).open[0]).held_min
    assert held == pytest.approx(6 * DAY_MIN)
    shop.clock.on(20 * DAY_MIN)
    assert temper(planner(shop).open[0]).held_min == 0


@pytest.mark.parametrize(("route", "paid"), [(WHOLE, False), (OUT, True)])
def test_it_is_paid_where_the_route_sends_the_stage_out(route: object, paid: bool) -> None:
    shop = planned_shop(3, route=route)  # type: ignore[arg-type]  # both are routes
    item = hardening(shop)
    pattern = next(shop.floor.all(Pattern))
    assert (item in costs.costs_of(shop.floor, pattern)) is paid
    sent = costs.sent_by_batch(shop.floor, shop.batch)
    assert (item in costs.costs_of(shop.floor, pattern, sent)) is paid
    assert sent_out.price_of(shop.floor, shop.stage("Temper").id, pattern.id) == (item,)
    shop.press(lambda tx: costs.put_cost_away(tx, item, away=True))
    assert sent_out.price_of(shop.floor, shop.stage("Temper").id, pattern.id) == ()
