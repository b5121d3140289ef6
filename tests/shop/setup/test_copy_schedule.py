"""Which copies are kept: the newest of 14 days, 8 weeks, 24 months, and never none."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.setup.copy_schedule import AGAIN_US, DAYS, MONTHS, WEEKS, age_text, due, kept

VIENNA = ZoneInfo("Europe/Vienna")
DAY_US = 86_400_000_000
START_US = round(datetime(2026, 10, 24, 12, tzinfo=UTC).timestamp()) * 1_000_000
instants = st.lists(st.integers(START_US, START_US + 1500 * DAY_US), max_size=80)


@given(instants)
def test_the_newest_is_kept_and_no_more_than_all_spans_hold(made: list[int]) -> None:
    keep = kept(made, VIENNA)
    assert keep <= set(made)
    assert len(keep) <= DAYS + WEEKS + MONTHS
    assert not made or max(made) in keep


@given(instants)
def test_thinning_again_takes_nothing_more(made: list[int]) -> None:
    keep = kept(made, VIENNA)
    assert kept(keep, VIENNA) == keep


@given(instants)
def test_thinned_at_every_copy_or_once_at_the_end_the_same_days_stand(made: list[int]) -> None:
    stood: frozenset[int] = frozenset()
    for at_us in sorted(made):
        stood = kept({*stood, at_us}, VIENNA)
    days = sorted({datetime.fromtimestamp(at // 1_000_000, VIENNA).date() for at in made})[-DAYS:]
    assert set(days) <= {datetime.fromtimestamp(at // 1_000_000, VIENNA).date() for at in stood}


def test_two_years_of_daily_copies_leave_days_weeks_and_months() -> None:
    made = [START_US + n * DAY_US for n in range(900)]
    keep = sorted(kept(made, VIENNA))
    assert keep[-DAYS:] == made[-DAYS:]
    assert len({datetime.fromtimestamp(at // 1_000_000, VIENNA).strftime("%Y-%m") for at in keep}) == MONTHS
    assert keep[0] < made[-1] - 660 * DAY_US


@pytest.mark.parametrize(
    ("newest_us", "now_us", "wanted"),
    [
        (None, START_US, True),
        (START_US, START_US + AGAIN_US - 1, False),
        (START_US, START_US + AGAIN_US, True),
        (START_US + 9 * 3600 * 1_000_000, START_US + 10 * 3600 * 1_000_000 + 1, True),  # 23:00 and after midnight
        (START_US + DAY_US, START_US, True),  # a copy from a clock that ran ahead
    ],
)
def test_a_copy_is_due_on_another_day_or_two_hours_later(newest_us: int | None, now_us: int, wanted: bool) -> None:
    assert due(newest_us, now_us, VIENNA) is wanted


@pytest.mark.parametrize(
    ("minutes", "said"),
    [
        (0, "under 1 min old"),
        (1, "1 min old"),
        (59, "59 min old"),
        (60, "1 h old"),
        (47 * 60, "47 h old"),
        (49 * 60, "2 days old"),
    ],
)
def test_the_age_is_said_in_one_unit(minutes: int, said: str) -> None:
    assert age_text(START_US, START_US + minutes * 60_000_000) == said
