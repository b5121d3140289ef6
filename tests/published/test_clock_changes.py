"""Lengths across both clock changes of 2026 in New York, as tzdata has them; PEP 495 for the hour that comes twice."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from shopclock.shop.state.wording import clock_text, instant_of, shop_time

NEW_YORK = ZoneInfo("America/New_York")
HOUR_US = 3_600_000_000


def at(text: str, fold: int = 0) -> int:
    return instant_of(datetime.fromisoformat(text).replace(tzinfo=NEW_YORK, fold=fold))


@pytest.mark.parametrize(
    ("start_us", "end_us", "hours"),
    [
        (at("2026-03-08 01:30"), at("2026-03-08 03:30"), 1),
        (at("2026-11-01 00:30"), at("2026-11-01 02:30"), 3),
        (at("2026-10-31 20:00"), at("2026-11-01 08:00"), 13),
        (at("2026-11-01 01:10", 0), at("2026-11-01 01:10", 1), 1),
    ],
)
def test_lengths_across_a_change_of_clocks_are_the_published_ones(start_us: int, end_us: int, hours: int) -> None:
    assert end_us - start_us == hours * HOUR_US
    assert clock_text(end_us - start_us) == f"{hours}:00:00"


@pytest.mark.parametrize("text", ["2026-03-08 01:30", "2026-03-08 03:30", "2026-11-01 00:30", "2026-11-01 02:30"])
def test_a_time_on_the_shops_wall_comes_back_as_it_was(text: str) -> None:
    assert f"{shop_time(at(text), NEW_YORK):%Y-%m-%d %H:%M}" == text
