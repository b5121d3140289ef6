"""Weeks without a timed minute while a batch was open are asked about once, and left alone when answered."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest

from shopclock.analysis.forecast.shop_hours import week_yields
from shopclock.record.read.rows import IntervalRow
from shopclock.shop.planning.quiet_weeks import QuietAnswer, QuietWeeks, answer_quiet, quiet_weeks, take_back
from shopclock.shop.setup.week import add_hours
from shopclock.shop.values.entities import Batch, GapAnswer, ShopHours
from tests.shop.workshop import MINUTE_US, Shop

if TYPE_CHECKING:
    from collections.abc import Callable

DAY_MIN = 1440


@pytest.fixture
def shop() -> Shop:
    """A batch begun on Saturday 24 October, two planned hours each Tuesday, seven weeks later."""
    made = Shop()
    made.press(lambda tx: add_hours(tx, 1, 19 * 60, 21 * 60))
    made.clock.on(49 * DAY_MIN)
    return made


def timed_in(shop: Shop, *weeks: int) -> Callable[[int, int], bool]:
    """Something was timed in these weeks, 0 for the first after the batch was begun."""
    begun = next(iter(shop.floor.all(Batch))).started_us
    instants = [begun + (3 + 7 * week) * DAY_MIN * MINUTE_US for week in weeks]
    return lambda since, until: any(since <= at < until for at in instants)


def asked(shop: Shop, *weeks: int) -> list[str]:
    return [one.said for one in quiet_weeks(shop.floor, timed_in(shop, *weeks), shop.clock.now_us)]


def test_neighbouring_weeks_are_one_question_the_newest_first(shop: Shop) -> None:
    assert asked(shop, 0, 1, 4) == ["Mon 30 Nov to Sun 6 Dec", "Mon 9 Nov to Sun 22 Nov"]
    assert asked(shop, *range(7)) == []


def test_a_week_without_hours_asks_nothing_nor_one_before_the_batch(shop: Shop) -> None:
    assert asked(shop) == ["Mon 26 Oct to Sun 6 Dec"]
    shop.press(lambda tx: tx.drop(next(iter(tx.floor.all(ShopHours)))))
    assert asked(shop) == []


def minutes_in_week(shop: Shop, week: int, minutes: float) -> IntervalRow:
    batch = next(iter(shop.floor.all(Batch)))
    start = batch.started_us + (3 + 7 * week) * DAY_MIN * MINUTE_US
    plain = dict.fromkeys(IntervalRow.__annotations__)
    return IntervalRow(**plain | {
        "batch_id": batch.id, "start_us": start, "labour_us": round(minutes * MINUTE_US), "maker": shop.maker.name,
    })  # fmt: skip


@pytest.mark.parametrize(
    ("answer", "yields"),
    [
        (None, (0.5, 0.0, 0.0, 1.0)),
        (QuietAnswer.NOTHING, (0.5, 0.0, 0.0, 1.0)),
        (QuietAnswer.UNTIMED, (0.5, 1.0)),
        (QuietAnswer.OFF, (0.5, 1.0)),
    ],
)
def test_the_answer_says_what_the_plan_makes_of_these_weeks(
    shop: Shop, answer: QuietAnswer | None, yields: tuple[float, ...]
) -> None:
    shop.clock.on(-14 * DAY_MIN)
    rows = [minutes_in_week(shop, 0, 60), minutes_in_week(shop, 3, 120)]
    (weeks,) = quiet_weeks(shop.floor, timed_in(shop, 0, 3), shop.clock.now_us)
    assert weeks == QuietWeeks(date(2026, 11, 2), date(2026, 11, 15))
    if answer is not None:
        shop.press(lambda tx: answer_quiet(tx, weeks, answer))
        assert asked(shop, 0, 3) == []
    assert week_yields(shop.floor, rows, shop.clock.now_us) == pytest.approx(yields)
    if answer is not None:
        shop.undo()
        assert asked(shop, 0, 3) == [weeks.said]


def test_an_answer_taken_back_is_asked_for_again(shop: Shop) -> None:
    (weeks,) = quiet_weeks(shop.floor, timed_in(shop), shop.clock.now_us)
    said = shop.press(lambda tx: answer_quiet(tx, weeks, QuietAnswer.NOTHING))
    assert isinstance(said, GapAnswer)
    shop.press(lambda tx: take_back(tx, said))
    assert asked(shop) == [weeks.said]
