"""The calendar file against RFC 5545 itself (Desruisseaux, ed., 2009), section by section."""

from __future__ import annotations

import re
from datetime import date

import pytest
from icalendar import Calendar

from shopclock.exchange.calendar import CalendarEntry, to_ical
from tests.shop.workshop import START_US

HOUR_US = 3_600_000_000


def unfolded(data: bytes) -> list[str]:
    """3.1: a line that begins with a space goes on from the one before."""
    return data.decode().replace("\r\n ", "").split("\r\n")


def written(*entries: CalendarEntry, now_us: int = START_US) -> list[str]:
    return unfolded(to_ical(entries, now_us))


def test_the_example_of_a_text_is_escaped_as_there() -> None:
    """3.3.11: "Project XYZ Final Review" and two more lines, a comma in the second paragraph's manner."""
    text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    lines = written(CalendarEntry("u@s", "x", text, START_US, START_US + HOUR_US))
    assert "DESCRIPTION:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared." in lines


def test_a_day_ends_with_the_next_as_in_the_example() -> None:
    """3.6.1: the end is not inclusive; DTSTART;VALUE=DATE:20070628."""
    lines = written(CalendarEntry("u@s", "x", "", day=date(2007, 6, 28)))
    assert "DTSTART;VALUE=DATE:20070628" in lines
    assert "DTEND;VALUE=DATE:20070629" in lines


@pytest.mark.parametrize(("minutes", "told"), [(15, "-PT15M"), (5, "-PT5M")])
def test_an_alarm_is_told_from_the_end(minutes: int, told: str) -> None:
    """3.8.6.3: TRIGGER;RELATED=END; 3.6.6: a DISPLAY alarm has ACTION, DESCRIPTION and TRIGGER."""
    lines = written(CalendarEntry("u@s", "Temper by now", "", START_US, START_US + HOUR_US, alarms_min=(minutes,)))
    alarm = lines[lines.index("BEGIN:VALARM") : lines.index("END:VALARM")]
    assert {"ACTION:DISPLAY", "DESCRIPTION:Temper by now", f"TRIGGER;RELATED=END:{told}"} <= set(alarm)


def test_prodid_and_version_are_there_once_and_no_method_is() -> None:
    """3.6: both are required; 3.7.2: without METHOD it is no scheduling, and needs no organizer."""
    lines = written(CalendarEntry("u@s", "x", "", START_US, START_US + 1))
    assert [sum(line.startswith(name) for line in lines) for name in ("PRODID:", "VERSION:2.0", "METHOD")] == [1, 1, 0]


def test_every_time_is_in_utc() -> None:
    """3.3.5, form 2: a date with UTC time ends in Z."""
    lines = written(CalendarEntry("u@s", "x", "", START_US, START_US + HOUR_US, alarms_min=(5,)))
    times = [line for line in lines if re.match("DT(START|END|STAMP)", line)]
    assert len(times) == 3
    assert all(re.fullmatch(r"[A-Z]+:\d{8}T\d{6}Z", line) for line in times)


def test_a_revision_has_the_uid_a_higher_sequence_and_a_later_stamp() -> None:
    """3.8.7.4: SEQUENCE goes up with each revision, and is an integer of 32 bits (3.3.8); 3.8.7.2: DTSTAMP."""
    entry = CalendarEntry("u@s", "x", "", START_US, START_US + HOUR_US)
    first, second = (
        Calendar.from_ical(to_ical([entry], at)).walk("VEVENT")[0] for at in (START_US, START_US + HOUR_US)
    )
    assert first["UID"] == second["UID"]
    assert first["SEQUENCE"] < second["SEQUENCE"] < 2**31
    assert first["DTSTAMP"].dt < second["DTSTAMP"].dt


def test_what_is_gone_is_cancelled() -> None:
    """3.8.1.11: STATUS:CANCELLED says that an event was."""
    gone = CalendarEntry("u@s", "x", "", START_US, START_US + HOUR_US, dropped=True)
    assert "STATUS:CANCELLED" in written(gone)
    assert not any(
        line.startswith("STATUS") for line in written(CalendarEntry("u@s", "x", "", START_US, START_US + HOUR_US))
    )
