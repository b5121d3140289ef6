"""The shop's week: hours of the wall, also on the nights when the clocks change; days off have none."""

from datetime import date
from zoneinfo import ZoneInfo

import pytest

from shopclock.shop.setup import week
from shopclock.shop.values.entities import DayOff, ShopHours
from shopclock.shop.values.errors import Refusal
from tests.shop.workshop import MINUTE_US, Paper

VIENNA = ZoneInfo("Europe/Vienna")


def shop_of(*hours: tuple[int, int, int]) -> Paper:
    shop = Paper()
    for weekday, start, end in hours:
        shop.press(lambda tx, w=weekday, s=start, e=end: week.add_hours(tx, w, s, e))
    return shop


def test_a_day_has_its_planned_stretches_as_instants() -> None:
    shop = shop_of((1, 19 * 60, 21 * 60), (1, 8 * 60, 9 * 60), (5, 0, 1440))
    tuesday = week.planned_on(shop.floor, date(2026, 11, 24), VIENNA)
    assert [(end - start) / MINUTE_US for start, end in tuesday] == [60, 120]
    assert week.planned_on(shop.floor, date(2026, 11, 25), VIENNA) == ()
    assert week.week_minutes(shop.floor) == 60 + 120 + 1440


@pytest.mark.parametrize(
    ("day", "from_min", "to_min", "minutes"),
    [
        pytest.param(date(2026, 10, 25), 0, 1440, 25 * 60, id="the clocks go back"),
        pytest.param(date(2026, 3, 29), 0, 1440, 23 * 60, id="the clocks go forward"),
        pytest.param(date(2026, 3, 29), 60, 240, 120, id="over the hour that there isn't"),
    ],
)
def test_a_day_is_as_long_as_it_is(day: date, from_min: int, to_min: int, minutes: int) -> None:
    shop = shop_of((6, from_min, to_min))
    assert sum(end - start for start, end in week.planned_on(shop.floor, day, VIENNA)) == minutes * MINUTE_US


def test_a_day_off_has_no_hours() -> None:
    shop = shop_of((1, 60, 120))
    off = shop.press(lambda tx: week.add_day_off(tx, date(2026, 11, 20), date(2026, 11, 24), " fair "))
    assert off.why == "fair"
    assert week.planned_on(shop.floor, date(2026, 11, 24), VIENNA) == ()
    assert week.planned_on(shop.floor, date(2026, 12, 1), VIENNA) != ()
    shop.press(lambda tx: week.drop_day_off(tx, off))
    assert list(shop.floor.all(DayOff)) == []


@pytest.mark.parametrize("wrong", [(7, 0, 60), (0, 60, 60), (0, 90, 60), (0, 0, 1441), (-1, 0, 5), (1, 100, 200)])
def test_hours_that_make_no_sense_are_refused(wrong: tuple[int, int, int]) -> None:
    shop = shop_of((1, 60, 120))
    with pytest.raises(Refusal, match="Nothing was changed"):
        shop.press(lambda tx: week.add_hours(tx, *wrong))


def test_hours_can_be_taken_out() -> None:
    shop = shop_of((1, 60, 120), (1, 120, 180))
    first = week.week(shop.floor)[0]
    with pytest.raises(Refusal, match="2:00 to 3:00 is planned already"):
        shop.press(lambda tx: week.add_hours(tx, 1, 130, 190))
    shop.press(lambda tx: week.drop_hours(tx, first))
    assert [h.from_min for h in shop.floor.all(ShopHours)] == [120]


def test_days_off_end_after_they_begin() -> None:
    shop = shop_of()
    with pytest.raises(Refusal, match="last day off is before the first"):
        shop.press(lambda tx: week.add_day_off(tx, date(2026, 12, 2), date(2026, 12, 1)))
