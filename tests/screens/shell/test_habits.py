"""Days, times of day and the week as the maker's own place has them; the same as Babel's CLDR says."""

from __future__ import annotations

from datetime import date, datetime, time
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from babel import Locale
from PySide6.QtCore import QLocale

from shopclock.screens.shell.shell import elsewhere
from shopclock.screens.shell.window import system_habits
from shopclock.shop.state.wording import (
    clock_time,
    day_text,
    minutes_text,
    range_text,
    time_example,
    time_text,
    when_text,
)
from shopclock.shop.values.habits import Habits, figure, habits, take_habits
from shopclock.shop.work.day import typed_time
from shopclock.views.chart_scale import even_ticks

if TYPE_CHECKING:
    from collections.abc import Iterator

DUBLIN = ZoneInfo("Europe/Dublin")
EVENING_US = round(datetime(2026, 11, 26, 20, 5, tzinfo=DUBLIN).timestamp()) * 1_000_000
HOUR_US = 3_600_000_000


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    yield
    take_habits(Habits())


@pytest.mark.parametrize("name", ["en_US", "en_GB", "de_DE", "fr_FR", "ja_JP"])
def test_a_place_has_the_habits_that_cldr_tells_of_it(name: str) -> None:
    told, found = Locale.parse(name), system_habits(QLocale(name))
    day = told.date_formats["long"].pattern
    assert found.month_first is (day.index("M") < day.index("d"))
    assert found.half_days is ("a" in told.time_formats["short"].pattern)
    assert found.first_weekday == told.first_week_day
    assert found.decimal == told.number_symbols["latn"]["decimal"]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("en_US", ("Thu Nov 26", "8:05 PM", "Fri Nov 27 8:05 PM")),
        ("en_GB", ("Thu 26 Nov", "20:05", "Fri 27 Nov 20:05")),
        ("de_DE", ("Thu 26 Nov", "20:05", "Fri 27 Nov 20:05")),
        ("fr_FR", ("Thu 26 Nov", "20:05", "Fri 27 Nov 20:05")),
        ("ja_JP", ("Thu Nov 26", "20:05", "Fri Nov 27 20:05")),
    ],
)
def test_days_and_times_are_said_so(name: str, said: tuple[str, str, str]) -> None:
    take_habits(system_habits(QLocale(name)))
    later_us = EVENING_US + 24 * HOUR_US
    now_us = EVENING_US - 72 * HOUR_US
    assert (day_text(date(2026, 11, 26)), time_text(EVENING_US, DUBLIN), when_text(later_us, now_us, DUBLIN)) == said


@pytest.mark.parametrize(
    ("hour", "said"), [(0, "12:05 AM"), (1, "1:05 AM"), (11, "11:05 AM"), (12, "12:05 PM"), (23, "11:05 PM")]
)
def test_noon_and_midnight_are_twelve_on_a_clock_of_twelve_hours(hour: int, said: str) -> None:
    take_habits(Habits(half_days=True))
    at = datetime(2026, 11, 26, hour, 5, tzinfo=DUBLIN)
    assert time_text(round(at.timestamp()) * 1_000_000, DUBLIN) == said


@pytest.mark.parametrize(("name", "said"), [("en_US", "14.6"), ("ja_JP", "14.6"), ("de_DE", "14,6"), ("fr_FR", "14,6")])
def test_figures_have_the_decimal_mark_of_the_place(name: str, said: str) -> None:
    take_habits(system_habits(QLocale(name)))
    assert (minutes_text(14.6), figure(14.55, 2), figure(14.6, 0)) == (said, said.replace("6", "55"), "15")
    assert range_text(9.5, 14.6) == f"{said.replace('14', '9').replace('6', '5')} to {said}"
    assert even_ticks(1.0, 3)[1] == (0.5, said.replace("14", "0").replace("6", "5"))


@pytest.mark.parametrize("name", ["en_US", "en_GB", "de_DE", "fr_FR", "ja_JP"])
@pytest.mark.parametrize("minute", [0, 5, 12 * 60, 13 * 60 + 5, 23 * 60 + 59])
def test_a_time_that_the_place_says_can_be_typed_as_it_is_said(name: str, minute: int) -> None:
    take_habits(system_habits(QLocale(name)))
    at = time(*divmod(minute, 60))
    assert typed_time(clock_time(at)) == at
    assert typed_time(time_example()) == time(19, 10)


def test_the_week_begins_as_it_does_there() -> None:
    assert system_habits(QLocale("en_US")).week() == (6, 0, 1, 2, 3, 4, 5)
    assert system_habits(QLocale("de_DE")).week() == (0, 1, 2, 3, 4, 5, 6)


def test_until_a_place_is_known_the_day_comes_first() -> None:
    assert habits() == system_habits(QLocale("C")) == Habits()


@pytest.mark.parametrize(
    ("machine", "said"),
    [("Europe/Dublin", ""), ("Europe/London", ""), ("America/New_York", "  Dublin"), ("Asia/Tokyo", "  Dublin")],
)
def test_a_laptop_that_travels_says_whose_time_it_tells(machine: str, said: str) -> None:
    assert elsewhere(datetime(2026, 11, 26, 20, 5, tzinfo=DUBLIN), machine) == said
