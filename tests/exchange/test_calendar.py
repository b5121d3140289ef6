"""The calendar file: what RFC 5545 asks, read back by the library and looked at byte by byte."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from icalendar import Calendar

from shopclock.analysis.plan.plan_told import day_by_day
from shopclock.exchange.calendar import CalendarEntry, calendar_file, dropped, entries, to_ical, write_calendar
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning import orders
from shopclock.shop.planning.calendar_events import remember
from shopclock.shop.setup import week
from shopclock.shop.values.entities import CalendarEvent
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import acts, begin
from tests.analysis.planned import planned_shop, planner
from tests.record.on_disk import DiskShop
from tests.shop.workshop import START_US, Shop

if TYPE_CHECKING:
    from pathlib import Path

NASTY = '=1+1;\\ "a", b: \u20ac\U0001f52a\nnext' + "\u00e4" * 90
HOUR_US = 3_600_000_000


def events(data: bytes) -> list[object]:
    return list(Calendar.from_ical(data).walk("VEVENT"))


def shop_at_the_oven() -> Shop:
    """Three pieces hardened, not tempered, with an order and hours."""
    shop = planned_shop(3)
    order = shop.press(lambda tx: orders.take_order(tx, "Brook", shop.pattern, 2, date(2026, 12, 12)))
    shop.press(lambda tx: orders.tie(tx, order, shop.piece("A")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden")))
    shop.clock.on(20)
    return shop


def told(shop: Shop) -> tuple[CalendarEntry, ...]:
    own = planner(shop)
    return entries(shop.floor, day_by_day(own.plan(draws=200), 0), shop.clock.now_us)


def by_kind(shop: Shop, kind: str) -> list[CalendarEntry]:
    return [entry for entry in told(shop) if entry.uid.startswith(kind)]


def test_lines_end_crlf_and_are_at_most_75_octets_never_split_inside_a_letter() -> None:
    """RFC 5545, 3.1."""
    data = to_ical([CalendarEntry("u@s", NASTY, NASTY, START_US, START_US + HOUR_US)], START_US)
    lines = data.split(b"\r\n")
    assert lines[-1] == b""
    assert all(len(line) <= 75 and b"\n" not in line and b"\r" not in line for line in lines)
    for line in lines:
        line.decode("utf-8")


def test_text_is_escaped_and_comes_back_as_it_was() -> None:
    """RFC 5545, 3.3.11: backslash, semicolon, comma and newline are escaped, a colon is not."""
    data = to_ical([CalendarEntry("u@s", "a;b,c\\d:e\nf", NASTY, START_US, START_US + HOUR_US)], START_US)
    assert b"SUMMARY:a\\;b\\,c\\\\d:e\\nf\r\n" in data
    event = Calendar.from_ical(data).walk("VEVENT")[0]
    assert str(event["DESCRIPTION"]) == NASTY


def test_instants_are_in_utc_and_the_end_is_later_than_the_start() -> None:
    data = to_ical([CalendarEntry("u@s", "x", "", START_US, START_US)], START_US)
    assert b"DTSTART:20261024T190000Z\r\n" in data
    assert b"DTEND:20261024T190001Z\r\n" in data
    assert b"DTSTAMP:20261024T190000Z\r\n" in data


def test_a_promise_is_a_whole_day() -> None:
    shop = shop_at_the_oven()
    (entry,) = by_kind(shop, "order-")
    assert entry.title == "Promised: 2 Spreader, Brook"
    data = to_ical([entry], START_US)
    assert b"DTSTART;VALUE=DATE:20261212\r\n" in data
    assert b"DTEND;VALUE=DATE:20261213\r\n" in data


def test_what_spoils_has_its_alarms() -> None:
    shop = shop_at_the_oven()
    (entry,) = by_kind(shop, "within-")
    assert entry.end_us == START_US + HOUR_US
    event = Calendar.from_ical(to_ical([entry], START_US)).walk("VEVENT")[0]
    triggers = [alarm["TRIGGER"] for alarm in event.walk("VALARM")]
    assert [t.dt for t in triggers] == [timedelta(minutes=-15), timedelta(minutes=-5)]
    assert all(t.params["RELATED"] == "END" for t in triggers)


def test_a_running_wait_ends_when_it_is_ready() -> None:
    shop = shop_at_the_oven()
    shop.press(lambda tx: acts.go_on(tx, shop.runs("Harden")))
    (entry,) = by_kind(shop, "wait-")
    assert (entry.title, entry.end_us - entry.start_us) == ("Temper", 2 * HOUR_US)
    (event,) = Calendar.from_ical(to_ical([entry], START_US)).walk("VEVENT")
    (alarm,) = event.walk("VALARM")
    assert (alarm["TRIGGER"].dt, alarm["TRIGGER"].params["RELATED"]) == (timedelta(0), "END")


def test_each_evening_is_one_entry_within_its_hours() -> None:
    evenings = by_kind(shop_at_the_oven(), "plan-")
    assert len({entry.uid for entry in evenings}) == len(evenings) > 0
    for entry in evenings:
        assert entry.end_us - entry.start_us <= 3 * HOUR_US


def test_a_second_import_changes_what_the_first_brought() -> None:
    shop = shop_at_the_oven()
    first = told(shop)
    shop.clock.on(5)
    second = told(shop)
    assert {e.uid for e in first if not e.uid.startswith("plan-")} <= {e.uid for e in second}
    one, other = (Calendar.from_ical(to_ical([first[0]], at)).walk("VEVENT")[0] for at in (START_US, shop.clock.now_us))
    assert one["UID"] == other["UID"]
    assert other["SEQUENCE"] > one["SEQUENCE"]


def test_every_entry_has_what_is_required() -> None:
    for event in Calendar.from_ical(to_ical(told(shop_at_the_oven()), START_US)).walk("VEVENT"):
        assert {"UID", "DTSTAMP", "SUMMARY", "DTSTART", "DTEND"} <= set(event)
        assert event["DTSTAMP"].dt == datetime.fromtimestamp(START_US // 1_000_000, UTC)


@pytest.fixture
def shop(tmp_path: Path) -> DiskShop:
    made = DiskShop(tmp_path, 3)
    made.press(lambda tx: orders.take_order(tx, "Brook", made.pattern, 2, date(2026, 12, 12)))
    made.close()
    return made


def test_without_hours_there_is_no_plan_but_the_rest(shop: DiskShop, tmp_path: Path) -> None:
    with ReadOnlyRecord.open(shop.path) as reading:
        why = write_calendar(reading, tmp_path / "plan.ics", shop.clock.now_us).why
    assert why.startswith("The shop's week has no hours yet")
    found = Calendar.from_ical((tmp_path / "plan.ics").read_bytes()).walk("VEVENT")
    assert [str(event["SUMMARY"]) for event in found] == ["Promised: 2 Spreader, Brook"]


def test_with_hours_there_is_one(shop: DiskShop, tmp_path: Path) -> None:
    shop.again()
    shop.press(lambda tx: week.add_hours(tx, 5, 1200, 1380))
    shop.close()
    with ReadOnlyRecord.open(shop.path) as reading:
        assert write_calendar(reading, tmp_path / "plan.ics", shop.clock.now_us).why == ""


def written(shop: DiskShop, place: Path) -> dict[str, str]:
    """Write to a file, and read back what each entry is about and whether it is cancelled."""
    calendar_file(str(shop.path), str(place), shop.clock.now_us)
    found = Calendar.from_ical(place.read_bytes()).walk("VEVENT")
    return {str(event["SUMMARY"]): str(event.get("STATUS", "")) for event in found}


def test_what_is_no_longer_so_is_cancelled_where_the_last_file_had_it(shop: DiskShop, tmp_path: Path) -> None:
    place, promised = tmp_path / "plan.ics", "Promised: 2 Spreader, Brook"
    assert written(shop, place) == {promised: ""}
    shop.again()
    order = next(iter(orders.open_orders(shop.floor)))
    shop.press(lambda tx: orders.end_order(tx, order, orders.OrderState.CANCELLED))
    shop.close()
    assert written(shop, tmp_path / "another.ics") == {}
    assert written(shop, place) == {promised: "CANCELLED"}
    assert written(shop, place) == {promised: "CANCELLED"}


def remembered(shop: DiskShop, place: Path) -> dict[str, tuple[str, int]]:
    """Write to a file, have the record remember it, and read back status and sequence of each entry."""
    told = calendar_file(str(shop.path), str(place), shop.clock.now_us)
    shop.again()
    shop.press(lambda tx: remember(tx, told.events))
    shop.close()
    found = Calendar.from_ical(place.read_bytes()).walk("VEVENT")
    return {str(event["SUMMARY"]): (str(event.get("STATUS", "")), int(event["SEQUENCE"])) for event in found}


def test_the_record_remembers_what_it_wrote_wherever_that_lies(shop: DiskShop, tmp_path: Path) -> None:
    """What is the same keeps its sequence; a promise that fell through is cancelled until its day is over."""
    promised = "Promised: 2 Spreader, Brook"
    first = remembered(shop, tmp_path / "one.ics")
    shop.clock.on(30)
    assert remembered(shop, tmp_path / "two.ics") == first
    shop.again()
    order = next(iter(orders.open_orders(shop.floor)))
    shop.press(lambda tx: orders.end_order(tx, order, orders.OrderState.CANCELLED))
    shop.close()
    for name in ("three.ics", "four.ics"):
        status, sequence = remembered(shop, tmp_path / name)[promised]
        assert (status, sequence) == ("CANCELLED", first[promised][1] + 30)
    shop.clock.on(60 * 24 * 60)
    assert remembered(shop, tmp_path / "five.ics") == {}
    shop.again()
    assert list(shop.floor.all(CalendarEvent)) == []
    shop.close()


def test_what_is_over_and_what_is_anothers_is_left_as_it_is() -> None:
    second = START_US // 1_000_000 * 1_000_000
    hour = CalendarEntry("a@one", "Work", "26-01", second, second + HOUR_US)
    day = CalendarEntry("b@one", "Promised", "", day=date(2026, 10, 24))
    before = to_ical([hour, day, CalendarEntry("c@two", "Theirs", "", START_US, START_US + HOUR_US)], START_US)
    gone = [replace(one, dropped=True) for one in (hour, day)]
    assert dropped(before, (), "one", START_US) == tuple(gone)
    assert dropped(before, (hour,), "one", START_US) == (gone[1],)
    assert dropped(before, (), "one", START_US + 9 * HOUR_US) == ()
    for nothing in (b"", b"no calendar", b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n"):
        assert dropped(nothing, (), "one", START_US) == ()


def test_another_ending_is_refused(shop: DiskShop, tmp_path: Path) -> None:
    with ReadOnlyRecord.open(shop.path) as reading, pytest.raises(ShopError, match=r"plan\.txt doesn't end in \.ics"):
        write_calendar(reading, tmp_path / "plan.txt", shop.clock.now_us)
    assert not (tmp_path / "plan.txt").exists()


def test_two_shops_don_t_meet_in_one_calendar() -> None:
    entry = CalendarEntry("a@one", "x", "", START_US, START_US + 1)
    data = to_ical([entry, replace(entry, uid="a@two")], START_US)
    assert len(events(data)) == 2
