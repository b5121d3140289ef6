"""What is written along a chart by date."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from shopclock.screens.trends.pictures import DAY_US, date_ticks

VIENNA = ZoneInfo("Europe/Vienna")


def us(year: int, month: int, day: int) -> float:
    return datetime(year, month, day, tzinfo=UTC).timestamp() * 1e6


@pytest.mark.parametrize(
    ("first", "last", "texts"),
    [
        ((2026, 3, 1), (2026, 3, 4), ["2 Mar", "3 Mar", "4 Mar"]),
        ((2026, 3, 1), (2026, 3, 29), ["8 Mar", "15 Mar", "22 Mar", "29 Mar"]),
        ((2026, 1, 15), (2026, 5, 2), ["Feb 2026", "Mar 2026", "Apr 2026", "May 2026"]),
        (
            (2024, 6, 10),
            (2025, 11, 10),
            [
                "Jul 2024",
                "Sep 2024",
                "Nov 2024",
                "Jan 2025",
                "Mar 2025",
                "May 2025",
                "Jul 2025",
                "Sep 2025",
                "Nov 2025",
            ],
        ),
        (
            (2012, 6, 10),
            (2026, 6, 10),
            ["Jan 2014", "Jan 2016", "Jan 2018", "Jan 2020", "Jan 2022", "Jan 2024", "Jan 2026"],
        ),
    ],
)
def test_dates_below_are_few_and_even(first: tuple, last: tuple, texts: list[str]) -> None:
    assert [text for _, text in date_ticks(us(*first), us(*last), VIENNA)] == texts


def test_a_date_stands_at_its_midnight_in_the_shop_through_a_clock_change() -> None:
    """Central European time is UTC+1 in winter, UTC+2 in summer; summer time began on 29 March 2026."""
    places = {text: x for x, text in date_ticks(us(2026, 3, 26), us(2026, 4, 2), VIENNA)}
    day = us(2026, 3, 28) / DAY_US
    assert places["28 Mar"] == pytest.approx(day - 1 / 24)
    assert places["30 Mar"] == pytest.approx(day + 2 - 2 / 24)
