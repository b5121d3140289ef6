"""A day of the shop, and which instant a typed time means: over midnight, and over the changes of the clocks."""

from dataclasses import replace
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from shopclock.shop.state.wording import instant_of
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work import begin
from shopclock.shop.work.day import day_span, end_meant, instant_on, start_meant, stretches_of, typed_time, worked_on
from tests.shop.workshop import Shop

VIENNA = ZoneInfo("Europe/Vienna")
HOUR_US = 3_600_000_000
BACK, ON = date(2026, 10, 25), date(2026, 3, 29)
"""Clocks go back and on on these Sundays: Directive 2000/84/EC, articles 2 and 3."""


def us(day: int, hour: int, minute: int = 0, fold: int = 0) -> int:
    """An instant in October 2026, in Vienna."""
    return instant_of(datetime(2026, 10, day, hour, minute, fold=fold, tzinfo=VIENNA))


@pytest.fixture
def interval() -> Interval:
    """Sawn from 21:00 to 22:00 on the 24th."""
    shop = Shop()
    made = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    return replace(made, start_us=us(24, 21), end_us=us(24, 22))


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("19.10", (19, 10)),
        ("1910", (19, 10)),
        ("19:10", (19, 10)),
        ("9", (9, 0)),
        ("910", (9, 10)),
        (" 0.05 ", (0, 5)),
        ("7:10 PM", (19, 10)),
        ("7:10pm", (19, 10)),
        ("7.10 p.m.", (19, 10)),
        ("7 pm", (19, 0)),
        ("7:10 a.m.", (7, 10)),
        ("710p", (19, 10)),
        ("12:05 AM", (0, 5)),
        ("12:05 PM", (12, 5)),
        ("12:59 am", (0, 59)),
        ("1 pm", (13, 0)),
        ("11:59 PM", (23, 59)),
    ],
)
def test_a_time_is_understood_however_it_is_typed(typed: str, meant: tuple[int, int]) -> None:
    assert typed_time(typed) == time(*meant)


@pytest.mark.parametrize(
    "typed", ["", "24.00", "19.60", "-5", "noon", "19.1", "191000", "13:10 PM", "0:10 am", "7:60 pm", "7:10 xm", "pm"]
)
def test_what_is_no_time_of_day_is_refused_with_how_to_type_one(typed: str) -> None:
    with pytest.raises(Refusal, match=r"Type it as 19:10"):
        typed_time(typed)


@pytest.mark.parametrize(("day", "hours"), [(BACK, 25), (ON, 23), (date(2026, 10, 26), 24)])
def test_a_day_is_as_long_as_the_clocks_make_it(day: date, hours: int) -> None:
    start_us, end_us = day_span(day, VIENNA)
    assert end_us - start_us == hours * HOUR_US


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("22.30", us(24, 22, 30)), ("0.30", us(25, 0, 30)), ("20.00", us(25, 20)), ("2.30", us(25, 2, 30))],
)
def test_an_end_is_the_first_such_time_after_the_start(interval: Interval, typed: str, meant: int) -> None:
    assert end_meant(interval, typed, us(26, 12), VIENNA) == meant


@pytest.mark.parametrize(("typed", "meant"), [("20.30", us(24, 20, 30)), ("23.00", us(23, 23))])
def test_a_start_is_the_last_such_time_before_the_end(interval: Interval, typed: str, meant: int) -> None:
    assert start_meant(interval, typed, us(26, 12), VIENNA) == meant


def test_a_wait_of_days_means_the_nearest_such_time(interval: Interval) -> None:
    cure = replace(interval, kind=Kind.WAIT, start_us=us(22, 20), end_us=us(24, 20))
    assert end_meant(cure, "21.15", us(26, 12), VIENNA) == us(24, 21, 15)
    assert start_meant(cure, "21.15", us(26, 12), VIENNA) == us(22, 21, 15)


def test_a_time_that_comes_twice_means_the_one_after_the_start(interval: Interval) -> None:
    second = replace(interval, start_us=us(25, 2, 10, fold=1), end_us=None)
    assert end_meant(second, "2.30", us(26, 12), VIENNA) == us(25, 2, 30, fold=1)
    assert instant_on(BACK, "2.30", VIENNA) == us(25, 2, 30)


def test_a_time_that_the_clocks_left_out_is_refused() -> None:
    with pytest.raises(Refusal, match="The clocks went past 02:30 that night"):
        instant_on(ON, "2.30", VIENNA)


def test_a_day_has_what_was_under_way_on_it_by_start() -> None:
    shop = Shop()
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(4 * 60)
    shop.press(begin.stop)
    found = [stretches_of(shop.floor, day) for day in (date(2026, 10, 24), BACK, date(2026, 10, 26))]
    assert [len(intervals) for intervals in found] == [1, 1, 0]
    spans = [day_span(day, VIENNA) for day in (date(2026, 10, 24), BACK)]
    assert [worked_on(shop.floor, span, shop.clock.now_us) for span in spans] == [
        3 * HOUR_US - 123_457,
        HOUR_US + 123_457,
    ]
