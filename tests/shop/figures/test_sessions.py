"""How much of a session is work taken off."""

from zoneinfo import ZoneInfo

import pytest

from shopclock.shop.figures.sessions import WorkedSpan, share_off
from tests.shop.workshop import MINUTE_US

NOON_US = 1_792_922_400_000_000
"""Sunday 25 October 2026, 11:00 in Vienna, after the clocks went back."""
DAY_US = 24 * 60 * MINUTE_US
VIENNA = ZoneInfo("Europe/Vienna")


def worked(start_min: float, end_min: float, labour_min: float | None = None, day: int = 0) -> WorkedSpan:
    start, end = (NOON_US + day * DAY_US + round(m * MINUTE_US) for m in (start_min, end_min))
    return WorkedSpan(start, end, end - start if labour_min is None else round(labour_min * MINUTE_US))


def evening(day: int, off: float) -> list[WorkedSpan]:
    """A session of 100 min of which so much is off, in the middle."""
    return [worked(0, 50 - off * 50, day=day), worked(50 + off * 50, 100, day=day)]


def test_it_is_the_median_of_the_sessions() -> None:
    days = [w for n, off in enumerate((0.1, 0.2, 0.4, 0.3)) for w in evening(n, off)]
    assert share_off(days, VIENNA) == pytest.approx(0.25)


def test_under_four_sessions_there_is_nothing_to_go_by() -> None:
    assert share_off([w for n in range(3) for w in evening(n, 0.2)], VIENNA) is None
    assert share_off([], VIENNA) is None


def test_only_the_last_eight_sessions_count() -> None:
    days = [w for n in range(12) for w in evening(n, 0.5 if n < 4 else 0.2)]
    assert share_off(days, VIENNA) == pytest.approx(0.2)


@pytest.mark.parametrize(("gap", "sessions"), [(89, 1), (90, 2)])
def test_a_pause_of_ninety_minutes_ends_a_session(gap: float, sessions: int) -> None:
    days = [w for n in range(4) for w in (worked(0, 60, day=n), worked(60 + gap, 120 + gap, day=n))]
    expected = gap / (120 + gap) if sessions == 1 else 0.0
    assert share_off(days, VIENNA) == pytest.approx(expected)


def test_what_ran_at_once_is_not_counted_twice() -> None:
    days = [w for n in range(4) for w in (worked(0, 60, 30, day=n), worked(0, 60, 30, day=n))]
    assert share_off(days, VIENNA) == pytest.approx(0.0)
