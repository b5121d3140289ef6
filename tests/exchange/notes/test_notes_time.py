"""Dates, times of day and lengths as people write them, and what is no such thing."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopclock.exchange.notes.time import (
    DateOrder,
    LengthUnit,
    TypedSpan,
    Unreadable,
    asks_order,
    clock_of,
    date_of,
    length_of,
    order_of,
    typed_span,
    unit_of,
)

SEVENTH_OF_MARCH = dt.date(2026, 3, 7)
MIN = 60


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-07", "2026/3/7", "2026-03-07 00:00:00", "7.3.26", "07.03.2026", "Sat 7.3.26", "7 Mar 2026",
        "7. March 26", "Mar 7, 2026", "March 7th 2026", "7-mar-26", "Saturday, 7 March 2026",
    ],
)  # fmt: skip
def test_a_date_that_is_plain_needs_nobody_to_say_what_comes_first(text: str) -> None:
    assert date_of(text, None) == SEVENTH_OF_MARCH


def test_slashes_are_read_as_the_maker_says() -> None:
    assert date_of("7/3/26", DateOrder.DAY_FIRST) == SEVENTH_OF_MARCH
    assert date_of("3/7/26", DateOrder.MONTH_FIRST) == SEVENTH_OF_MARCH
    assert date_of("3/13/26", None) == dt.date(2026, 3, 13)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "is no date"),
        ("7/3/26", "may be day or month first"),
        ("31.2.26", "is no day of the calendar"),
        ("31.12.1899", "is before 1990"),
        ("1899-12-30", "is before 1990"),
        ("7 Foo 26", "names no month"),
        ("7.3.", "is no date with day, month and year"),
        ("Total", "is no date with day, month and year"),
        ("46088", "is no date with day, month and year"),
    ],
)
def test_what_is_no_date_says_why(text: str, why: str) -> None:
    with pytest.raises(Unreadable) as refused:
        date_of(text, None)
    assert str(refused.value) == why


@pytest.mark.parametrize(
    ("texts", "order", "asked"),
    [
        (["7/3/26", "8/3/26"], None, "7/3/26"),
        (["7/3/26", "13/3/26"], DateOrder.DAY_FIRST, None),
        (["3/7/26", "3/13/26"], DateOrder.MONTH_FIRST, None),
        (["7.3.26", "2026-03-08", "7/7/26"], None, None),
    ],
)
def test_the_order_is_asked_about_only_where_no_date_of_the_column_tells(
    texts: list[str], order: DateOrder | None, asked: str | None
) -> None:
    assert (order_of(texts), asks_order(texts)) == (order, asked)


@given(st.dates(dt.date(1990, 1, 1), dt.date(2099, 12, 31)), st.sampled_from(["{d}/{m}/{y}", "{d}-{m}-{y}"]))
def test_a_date_written_day_first_is_read_back_day_first(day: dt.date, how: str) -> None:
    assert date_of(how.format(d=day.day, m=day.month, y=day.year), DateOrder.DAY_FIRST) == day


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("1:20", 80), ("80", 80), ("1h20", 80), ("80 min", 80), ("1.3 h", 78), ("1,3 h", 78), ("1 h 20 min", 80),
        ("1½ h", 90), ("½ h", 30), ("80'", 80), ("1:20:30", 80.5), ("2 hours", 120), ("90 s", 1.5), ("~ 45 min", 45),
        ("1 hr 5 mins", 65), ("26:00", 1560),
    ],
)  # fmt: skip
def test_a_length_as_people_write_it(text: str, minutes: float) -> None:
    assert length_of(text) == pytest.approx(minutes * MIN)


def test_a_bare_number_is_in_the_unit_of_its_column() -> None:
    assert length_of("1.5", LengthUnit.HOURS) == 90 * MIN
    assert unit_of("Time (h)", []) is LengthUnit.HOURS
    assert unit_of("Minutes", ["1.5"]) is LengthUnit.MINUTES
    assert unit_of("Time", ["1.5", "0.75", "2"]) is LengthUnit.HOURS
    assert unit_of("Time", ["15", "80"]) is LengthUnit.MINUTES


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("-20", "is less than nothing"),
        ("−1:20", "is less than nothing"),
        ("0", "is no length of time"),
        ("0:00", "is no length of time"),
        ("1:75", "is no length of time"),
        ("soon", "is no length of time"),
        ("", "is no length of time"),
        ("#REF!", "is no length of time"),
    ],
)
def test_what_is_no_length_says_why(text: str, why: str) -> None:
    with pytest.raises(Unreadable) as refused:
        length_of(text)
    assert str(refused.value) == why


@given(st.integers(1, 40 * 60))
def test_a_length_is_the_same_however_it_is_written(minutes: int) -> None:
    hours, rest = divmod(minutes, 60)
    written = [f"{hours}:{rest:02d}", f"{hours}h{rest:02d}", f"{minutes} min", str(minutes), f"{hours} h {rest} min"]
    assert {length_of(text) for text in written} == {minutes * 60.0}


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("19:10", (19, 10)), ("19.10", (19, 10)), ("19h10", (19, 10)), ("1910", (19, 10)), ("7:10 pm", (19, 10)),
        ("7pm", (19, 0)), ("12:05 am", (0, 5)), ("7:10", (7, 10)), ("19:10:00", (19, 10)), ("24:00", (24, 0)),
        ("2026-03-07 19:10:00", (19, 10)),
    ],
)  # fmt: skip
def test_a_time_of_day_as_people_write_it(text: str, at: tuple[int, int]) -> None:
    assert clock_of(text) == at[0] * 3600 + at[1] * 60


@pytest.mark.parametrize("text", ["25:00", "19:61", "13 pm", "noon", "", "7", "24:01"])
def test_what_is_no_time_of_day_is_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        clock_of(text)


def test_a_span_has_both_ends_and_may_reach_into_the_next_day() -> None:
    assert typed_span("19:10–20:35") == TypedSpan(69_000, 74_100)
    assert typed_span("22:30 - 0:15") == TypedSpan(81_000, 87_300)
    assert typed_span("19:10 to 20:35") == typed_span("19:10-20:35")
    with pytest.raises(Unreadable):
        typed_span("19:10–19:10")
    with pytest.raises(Unreadable):
        typed_span("19:10")


@settings(max_examples=200)
@given(st.text(max_size=20) | st.from_regex(r"[0-9:hmin.,½ –-]{1,12}", fullmatch=True))
def test_any_text_is_read_or_refused(text: str) -> None:
    for read in (lambda said: date_of(said, None), clock_of, length_of, typed_span):
        try:
            found = read(text)
        except Unreadable:
            continue
        assert found is not None
