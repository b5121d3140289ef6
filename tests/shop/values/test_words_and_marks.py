"""How things are said and marked: lengths, ranges, days, counts, letters; parts that add up."""

from datetime import UTC, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.state import wording
from shopclock.shop.values import marks
from tests.shop.workshop import MINUTE_US, Shop

VIENNA = ZoneInfo("Europe/Vienna")
S = 1_000_000


def at(text: str) -> int:
    return int(datetime.fromisoformat(text).replace(tzinfo=UTC).timestamp()) * S


@pytest.mark.parametrize(
    ("us", "said"), [(0, "0:00:00"), (2833 * S - 1, "0:47:12"), (360_000 * S, "100:00:00"), (-5, "0:00:00")]
)
def test_a_running_clock(us: int, said: str) -> None:
    assert wording.clock_text(us) == said


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0, "0 min"), (47.4, "47 min"), (47.5, "48 min"), (59.5, "1 h"), (229, "3 h 49"), (65, "1 h 05")],
)
def test_a_length(minutes: float, said: str) -> None:
    assert wording.length_text(round(minutes * MINUTE_US)) == said


@pytest.mark.parametrize(("minutes", "said"), [(14.6, "14.6"), (None, "–"), (0.0, "0.0")])
def test_minutes_a_piece(minutes: float | None, said: str) -> None:
    assert wording.minutes_text(minutes) == said


@pytest.mark.parametrize(
    ("when", "said"),
    [
        ("2026-11-26 19:55", "20:55"),
        ("2026-11-26 23:30", "tomorrow 00:30"),
        ("2026-11-25 17:02", "yesterday 18:02"),
        ("2026-11-30 19:40", "Mon 30 Nov 20:40"),
    ],
)
def test_when(when: str, said: str) -> None:
    """The day is that of the shop's wall: half past midnight in Vienna is tomorrow, in UTC it is not."""
    assert wording.when_text(at(when), at("2026-11-26 12:00"), VIENNA) == said


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(0.9, "just ended"), (14, "ended 14 min ago"), (719, "ended 11 h 59 ago"), (720, "ready since 08:00")],
)
def test_how_long_ago_a_wait_ended(minutes: float, said: str) -> None:
    ended = at("2026-11-26T07:00")
    assert wording.ended_text(ended, ended + round(minutes * MINUTE_US), VIENNA) == said


@given(st.lists(st.floats(0, 1e5), min_size=1, max_size=9), st.integers(0, 2))
def test_rounded_parts_add_up_to_their_rounded_sum_and_none_is_off_by_a_whole_digit(
    values: list[float], digits: int
) -> None:
    parts = wording.rounded_parts(values, digits)
    unit = Decimal(1).scaleb(-digits)
    assert sum(parts) == sum(map(Decimal, values)).quantize(unit)
    assert all(abs(part - Decimal(value)) < unit for part, value in zip(parts, values, strict=True))


@pytest.mark.parametrize(("n", "said"), [(0, "0 blades"), (1, "1 blade"), (7, "7 blades")])
def test_counts_are_in_the_shops_own_words(n: int, said: str) -> None:
    assert wording.counted(Shop(1).floor, "piece", n) == said


def test_marks_leave_out_what_is_misread_and_go_on_with_two_letters() -> None:
    found = marks.marks(60)
    assert len(set(found)) == 60
    assert found[:3] == ("A", "B", "C")
    assert found[22:25] == ("Z", "AA", "AB")
    assert not set("IOQ") & set("".join(found))
    assert marks.marks(2, skip=7) == ("H", "J")


@pytest.mark.parametrize(
    ("letters", "said"), [("A", "A"), ("AB", "A, B"), ("ABC", "A–C"), ("GHJ", "G–J"), ("ACF", "A, C, F"), ("", "")]
)
def test_marks_are_said_shortly(letters: str, said: str) -> None:
    assert marks.spoken(list(letters)) == said


def test_a_run_of_marks_goes_on_from_one_letter_to_two_and_to_three() -> None:
    given = marks.marks(23 + 23 * 23 + 2)
    assert [marks.place_of(mark) for mark in given] == list(range(1, len(given) + 1))
    assert marks.spoken(["Y", "Z", "AA"]) == "Y–AA"
    assert marks.spoken(["ZZ", "AAA", "AAB"]) == "ZZ–AAB"
