"""What stands where in the chart."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest

from shopclock.analysis.stage_trend import StageTrend, stage_trend
from shopclock.screens.trends.chart_state import chart_state
from shopclock.screens.trends.dates import DAY_US, date_ticks
from shopclock.screens.trends.state import View

if TYPE_CHECKING:
    from tests.screens.trends.trend_shop import TrendShop

VIENNA = ZoneInfo("Europe/Vienna")


@pytest.fixture
def trend(shop: TrendShop) -> StageTrend:
    return stage_trend(shop.two_methods(), shop.bevels.id)


def test_methods_are_told_apart_by_word_colour_shape_and_dashes(shop: TrendShop, trend: StageTrend) -> None:
    lines = chart_state(shop.record.floor, trend, View.BATCHES).lines
    assert [line.name for line in lines] == ["jig", "freehand"]
    for said in ("role", "shape", "dashed"):
        assert len({getattr(line, said) for line in lines}) == 2


def test_batch_by_batch_each_batch_has_its_place_and_its_name_below(shop: TrendShop, trend: StageTrend) -> None:
    chart = chart_state(shop.record.floor, trend, View.BATCHES)
    assert chart.ticks == tuple((float(i + 1), batch.name) for i, batch in enumerate(shop.batches))
    assert (chart.first_x, chart.last_x) == (0.5, 16.5)
    jig = chart.lines[0].points
    assert [(p.x, p.minutes) for p in jig[:3]] == [(1.0, 17.7), (2.0, 20.6), (3.0, 17.4)]


def test_what_is_left_out_is_hollow(shop: TrendShop, trend: StageTrend) -> None:
    freehand = chart_state(shop.record.floor, trend, View.BATCHES).lines[1]
    assert [p.x for p in freehand.points if p.hollow] == [6.0, 16.0]


def test_the_band_is_the_usual_range_over_the_batches_it_rests_on(shop: TrendShop, trend: StageTrend) -> None:
    band = chart_state(shop.record.floor, trend, View.BATCHES).lines[1].usually
    usual = trend.methods[1].usual
    assert band is not None
    assert usual is not None
    assert (band.low, band.median, band.high) == (usual.low_min, usual.median_min, usual.high_min)
    assert (band.first_x, band.last_x) == (7.5, 15.5)


def test_by_date_a_batch_stands_at_the_middle_of_its_labour(shop: TrendShop, trend: StageTrend) -> None:
    chart = chart_state(shop.record.floor, trend, View.DATES)
    assert chart.lines[0].points[0].x == trend.methods[0].lots[0].at_us / DAY_US
    assert [text for _, text in chart.ticks] == ["Feb 2025", "Mar 2025", "Apr 2025", "May 2025"]


def test_one_batch_alone_can_be_drawn_both_ways(shop: TrendShop) -> None:
    trend = stage_trend(shop.rows([12.0], None), shop.bevels.id)
    for view in (View.BATCHES, View.DATES):
        chart = chart_state(shop.record.floor, trend, view)
        assert chart.first_x < chart.lines[0].points[0].x < chart.last_x


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
