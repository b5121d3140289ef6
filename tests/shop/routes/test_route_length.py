"""Lengths as a maker writes them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.routes.route_length import length_s, length_text


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("30 s", 30),
        ("60 min", 3_600),
        ("2 h", 7_200),
        ("1 h 30 min", 5_400),
        ("1h30min", 5_400),
        ("24 h", 86_400),
        ("1 day", 86_400),
        ("3 days", 259_200),
        ("2 days 6 h", 194_400),
        ("  90 min ", 5_400),
        ("0 min", 0),
    ],
)
def test_a_written_length_is_read_in_seconds(text: str, seconds: int) -> None:
    assert length_s(text) == seconds


@pytest.mark.parametrize(
    "text", ["", " ", "2", "h", "2 hours", "-2 h", "2.5 h", "2 h 2 h", "30 min 1 h", "٣ h", "2 h soon", "1" * 12 + " s"]
)
def test_what_is_no_length_is_not_guessed(text: str) -> None:
    assert length_s(text) is None


@pytest.mark.parametrize(
    ("seconds", "text"),
    [(30, "30 s"), (5_400, "1 h 30 min"), (86_400, "24 h"), (172_800, "2 days"), (176_400, "49 h"), (0, "0 s")],
)
def test_whole_days_are_written_from_two_days_on(seconds: int, text: str) -> None:
    assert length_text(seconds) == text


@given(st.integers(min_value=0, max_value=400 * 86_400))
def test_every_written_length_reads_back(seconds: int) -> None:
    assert length_s(length_text(seconds)) == seconds
