"""What the Plan screen is told of a plan: days in the shop's hours, what holds a batch up, what no longer holds."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.forecast.forecast import QUICK_DRAWS
from shopclock.analysis.plan.plan import Gain
from shopclock.analysis.plan.plan_told import day_by_day, days_text, held_up, late, plan_told, planned_days
from shopclock.shop.planning import orders, plan_order
from shopclock.shop.setup import week
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Kind
from tests.analysis.planned import planned_shop, planner

if TYPE_CHECKING:
    from tests.record.on_disk import DiskShop


def test_a_days_work_lies_in_its_hours_and_all_of_it_adds_up() -> None:
    shop = planned_shop(5)
    found = planner(shop).plan(draws=QUICK_DRAWS)
    intervals = day_by_day(found, 0)
    days = planned_days(intervals, zone_of(shop.floor))
    assert sum(day.worked_us for day in days) == sum(one.end_us - one.start_us for one in intervals if one.work)
    for day in days:
        assert day.worked_us > 0
        for span in day.spans:
            assert 0 <= span.from_h < span.to_h <= 24
            assert not span.kind.attended or (span.from_h >= 18 and span.to_h <= 21), span


def test_a_wait_over_midnight_is_drawn_on_both_days() -> None:
    shop = planned_shop(2)
    days = planned_days(day_by_day(planner(shop).plan(draws=QUICK_DRAWS), 0), zone_of(shop.floor))
    over_night = [(day.day, span) for day in days for span in day.spans if span.kind is Kind.WAIT]
    assert any(span.to_h == 24 for _, span in over_night)
    assert any(span.from_h == 0 for _, span in over_night)


def test_batches_come_in_the_order_of_work_each_with_its_days(disk: DiskShop) -> None:
    disk.batches.append(disk.new_batch(4))
    first, second = (batch.id for batch in disk.batches)
    told = plan_told(str(disk.path), disk.clock.now_us)
    assert [one.batch_id for one in told.batches] == [first, second]
    for one in told.batches:
        assert one.day is not None
        assert one.note.startswith("if all planned hours are worked; ")
        assert one.note.endswith(" if half of them are")
    disk.press(lambda tx: plan_order.move(tx, disk.batches[1], -1))
    moved = plan_told(str(disk.path), disk.clock.now_us)
    assert [one.batch_id for one in moved.batches] == [second, first]
    assert moved.batches[0].day is not None
    assert told.batches[1].day is not None
    assert moved.batches[0].day <= told.batches[1].day


def test_what_holds_a_batch_up_is_looked_for_in_the_close_answer_alone(disk: DiskShop) -> None:
    assert plan_told(str(disk.path), disk.clock.now_us, QUICK_DRAWS).held_up == ""
    assert plan_told(str(disk.path), disk.clock.now_us).held_up.startswith("What holds 26-01 up most is ")


def test_without_hours_there_is_a_sentence(disk: DiskShop) -> None:
    for hours in week.week(disk.floor):
        disk.press(lambda tx, hours=hours: week.drop_hours(tx, hours))
    with pytest.raises(ShopError, match="has no hours yet"):
        plan_told(str(disk.path), disk.clock.now_us)


@pytest.mark.parametrize(
    ("gain", "said"),
    [
        (Gain("waits", 3.2), "What holds 26-01 up most is its waits: without them it would be done 3 days sooner."),
        (Gain("other batches", 58), "What holds 26-01 up most is the work before it: alone it would be done 58 days "),
        (Gain("hours", 1.4), "What holds 26-01 up most is the hours: half as much work again in them brings it 1 day "),
        (Gain("tools", 0.2), "Nothing alone holds 26-01 up by half a day."),
    ],
)
def test_what_holds_it_up_is_one_sentence(gain: Gain, said: str) -> None:
    assert held_up("26-01", gain).startswith(said)


def test_days_are_said_whole() -> None:
    assert [days_text(days) for days in (0.4, 0.6, -1.2, 12.0)] == ["half a day", "1 day", "1 day", "12 days"]


def test_a_promise_that_no_longer_holds_is_named_with_its_reason() -> None:
    shop = planned_shop(3)
    today = shop_time(shop.clock.now_us, zone_of(shop.floor)).date()
    soon = shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 1, today))
    shop.press(lambda tx: orders.tie(tx, soon, shop.piece("A")))
    shop.press(lambda tx: orders.take_order(tx, "Ash", shop.pattern, 2, date(2027, 6, 1)))
    far = shop.press(lambda tx: orders.take_order(tx, "Fen", shop.pattern, 1, today + timedelta(days=300)))
    shop.press(lambda tx: orders.tie(tx, far, shop.piece("B")))
    told = late(shop.floor, planner(shop).plan(draws=QUICK_DRAWS))
    assert [line.split(",")[0] for line in told] == ["Brook", "Ash"]
    assert told[0].endswith(": too late even if all planned hours are worked")
    assert told[1].endswith("by Tue 1 Jun: lacks 1")
