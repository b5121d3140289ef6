"""Lengths across both clock changes of a year, against shared/published/clock_changes.toml."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from shopclock.shop.state.wording import clock_text, instant_of, shop_time, time_text
from tests.published.tables import tables

PUBLISHED = tables("clock_changes")["new_york"]
ZONE = ZoneInfo(PUBLISHED["zone"])
HOUR_US = 3_600_000_000


def on_the_wall(when: datetime) -> datetime:
    """As a maker tells a time: by the wall clock and by which of the two hours it is (fold), not by its offset."""
    return when.replace(tzinfo=ZONE, fold=when.astimezone(ZONE).fold)


@pytest.mark.parametrize(("start", "end", "hours"), PUBLISHED["lengths"])
def test_lengths_across_a_change_of_clocks_are_the_published_ones(start: datetime, end: datetime, hours: int) -> None:
    length_us = instant_of(on_the_wall(end)) - instant_of(on_the_wall(start))
    assert length_us == hours * HOUR_US
    assert clock_text(length_us) == f"{hours}:00:00"


@pytest.mark.parametrize("when", [when for *walls, _ in PUBLISHED["lengths"] for when in walls], ids=datetime.isoformat)
def test_a_time_on_the_shops_wall_comes_back_as_it_was(when: datetime) -> None:
    instant_us = instant_of(on_the_wall(when))
    assert shop_time(instant_us, ZONE).isoformat() == when.isoformat()
    assert time_text(instant_us, ZONE) == f"{when:%H:%M}"
