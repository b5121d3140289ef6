"""Plan, waits, promises and what spoils as an iCalendar file (RFC 5545).

Whatever was written last and is no longer so is cancelled, or a calendar would keep it: the record remembers it, and a
file that lies at the place tells it, too.
"""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.plan.plan import Planner
from shopclock.analysis.plan.plan_told import WorkSpan, day_by_day
from shopclock.exchange.workbook.beside import written_beside
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.planning.calendar_events import EventTold, told_before
from shopclock.shop.planning.orders import open_orders, promised_day
from shopclock.shop.planning.today import waits
from shopclock.shop.state.demo_mark import demo_said
from shopclock.shop.state.shop_floor import since_us
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import Batch, Pattern, Shop, Step
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work.order_rules import running_out
from shopclock.shop.work.piece_progress import ready_at

if TYPE_CHECKING:
    from collections.abc import Container, Iterable, Iterator, Mapping, Sequence

    from icalendar import Event

    from shopclock.shop.state.shop_floor import ShopFloor


SECOND_US = 1_000_000
WARN_MIN = (15, 5)


@dataclass(frozen=True, slots=True)
class CalendarEntry:
    """One entry: from an instant to another, or a whole day; minutes before its end at which to be told.

    `dropped`: it was written before and is no longer so. `sequence`: the instant at which it last told something else,
    in minutes, so that it only grows (RFC 5545, 3.8.7.4); 0 where that is now.
    """

    uid: str
    title: str
    text: str
    start_us: int = 0
    end_us: int = 0
    day: date | None = None
    alarms_min: tuple[int, ...] = ()
    dropped: bool = False
    sequence: int = 0


def entries(floor: ShopFloor, planned: Sequence[WorkSpan], now_us: int) -> tuple[CalendarEntry, ...]:
    """Return all entries: what is planned for each stretch of shop hours, waits, promises, what spoils."""
    return (*_evenings(floor, planned), *_waits(floor), *_promises(floor), *_spoiling(floor, now_us))


def _evenings(floor: ShopFloor, planned: Sequence[WorkSpan]) -> Iterator[CalendarEntry]:
    """Yield one entry for the work of each day. Its UID is the day's: another plan changes it."""
    zone, shop = zone_of(floor), shop_of(floor)
    by_day: dict[date, list[WorkSpan]] = defaultdict(list)
    for one in planned:
        if one.work:
            by_day[shop_time(one.start_us, zone).date()].append(one)
    for day, own in sorted(by_day.items()):
        lines = dict.fromkeys(f"{one.batch.name}: {one.name}" for one in own)
        names = ", ".join(dict.fromkeys(one.name for one in own))
        yield CalendarEntry(
            f"plan-{day.isoformat()}@{shop}", names, "\n".join(lines), own[0].start_us, max(o.end_us for o in own)
        )


def _waits(floor: ShopFloor) -> Iterator[CalendarEntry]:
    """Yield the waits that run and have a length, each with an alarm at its end."""
    for wait in waits(floor):
        end_us = ready_at(floor, wait)
        if end_us is not None and wait.step_id is not None and wait.batch_id is not None:
            step, batch = floor.get(Step, wait.step_id), floor.get(Batch, wait.batch_id)
            marks = " ".join(floor.marks(wait.pieces))
            uid, text = f"wait-{wait.uuid}@{shop_of(floor)}", f"{batch.name}: {marks}"
            yield CalendarEntry(uid, step.name, text, since_us(floor, wait), end_us, alarms_min=(0,))


def _promises(floor: ShopFloor) -> Iterator[CalendarEntry]:
    for order in open_orders(floor):
        day = promised_day(order)
        if day is not None:
            what = f"{order.wanted} {floor.get(Pattern, order.pattern_id).name}"
            yield CalendarEntry(
                f"order-{order.uuid}@{shop_of(floor)}", f"Promised: {what}, {order.who}", order.note, day=day
            )


def _spoiling(floor: ShopFloor, now_us: int) -> Iterator[CalendarEntry]:
    """Yield what is ruined if it waits, with alarms before it is."""
    for within in running_out(floor, now_us):
        uid = f"within-{within.rule.uuid}-{within.batch.uuid}-{within.since_us}@{shop_of(floor)}"
        title = f"{within.then.name} by now: {within.batch.name}"
        text = f"After {within.first.name}: {' '.join(floor.marks(within.pieces))}"
        yield CalendarEntry(uid, title, text, within.since_us, within.until_us, alarms_min=WARN_MIN)


def shop_of(floor: ShopFloor) -> str:
    """Return what is after the @: the record's own number, so that two shops don't meet in one calendar."""
    return next((shop.uuid for shop in floor.all(Shop)), "shop")


def to_ical(told: Iterable[CalendarEntry], now_us: int, said: str = "") -> bytes:
    """Return the file's bytes: CRLF, folded at 75 octets, escaped; the library sees to that.

    `said` holds for all of it: it is the calendar's description (RFC 7986, 5.2), and stands in each entry.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//Shopclock//Plan//EN")
    calendar.add("version", "2.0")
    if said:
        calendar.add("description", said)
    for entry in told:
        text = "\n".join(filter(None, (entry.text, said)))
        calendar.add_component(_event(replace(entry, text=text), now_us))
    return bytes(calendar.to_ical())


def _event(entry: CalendarEntry, now_us: int) -> Event:
    from icalendar import Alarm, Event

    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", _utc(now_us))
    event.add("sequence", entry.sequence or now_us // (60 * SECOND_US))
    event.add("summary", entry.title)
    if entry.text:
        event.add("description", entry.text)
    start: date = _utc(entry.start_us)
    end: date = _utc(max(entry.end_us, entry.start_us + SECOND_US))
    if entry.day is not None:
        start, end = entry.day, entry.day + timedelta(days=1)
    event.add("dtstart", start)
    event.add("dtend", end)  # it isn't in it and has to be later: a day ends with the next one
    if entry.dropped:
        event.add("status", "CANCELLED")
    for minutes in entry.alarms_min:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", entry.title)
        alarm.add("trigger", timedelta(minutes=-minutes), parameters={"RELATED": "END"})
        event.add_component(alarm)
    return event


def _utc(at_us: int) -> datetime:
    """Return an instant to the second, as the format has it."""
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=at_us // SECOND_US)


def dropped(before: bytes, now: Iterable[CalendarEntry], shop: str, now_us: int) -> tuple[CalendarEntry, ...]:
    """Return what stood in a shop's last file, is not over yet, and is not among the entries of now.

    What is no calendar, or another's, has nothing of it.
    """
    from icalendar import Calendar, Event

    kept = {entry.uid for entry in now}
    try:
        events = [one for one in Calendar.from_ical(before).walk("VEVENT") if isinstance(one, Event)]
        found = [_read(event) for event in events if event.uid.endswith(f"@{shop}") and event.uid not in kept]
    except ValueError:
        return ()
    return tuple(one for one in found if _lies_ahead(one, now_us))


def _read(event: Event) -> CalendarEntry:
    told = CalendarEntry(event.uid, event.summary or "", event.description or "", dropped=True)
    if isinstance(event.start, datetime):
        return replace(told, start_us=_us(event.start), end_us=_us(event.end))
    return replace(told, day=event.start)


def _lies_ahead(entry: CalendarEntry, now_us: int) -> bool:
    today = datetime.fromtimestamp(now_us // SECOND_US, UTC).date()
    return entry.day >= today if entry.day is not None else entry.end_us > now_us


def _us(at: date) -> int:
    return round(at.timestamp()) * SECOND_US if isinstance(at, datetime) else 0


@dataclass(frozen=True, slots=True)
class Written:
    """A calendar that was written: why there is no plan in it, or "", and what is to be remembered of it, by UID."""

    why: str
    events: Mapping[str, EventTold]


def write_calendar(reading: ReadOnlyRecord, path: Path, now_us: int) -> Written:
    """Write plan, waits, promises and what spoils to an .ics file.

    What the record remembers to have written, or an older file at this place has, and is no longer so is in it as
    cancelled until it is over. That file stays until this one is whole.
    """
    if path.suffix.lower() != ".ics":
        raise ShopError(f"{path.name} doesn't end in .ics. Nothing was written. Name a file that does.")
    planned, why = _planned(reading, now_us)
    told = entries(reading.floor, planned, now_us)
    before = told_before(reading.floor)
    old = {one.uid: one for one in _gone(before, {entry.uid for entry in told}, now_us)}
    if path.is_file():
        in_file = dropped(path.read_bytes(), told, shop_of(reading.floor), now_us)
        old = {one.uid: one for one in in_file} | old
    every = tuple(_counted(entry, before, now_us) for entry in (*told, *old.values()))
    with written_beside(path) as part:
        part.write_bytes(to_ical(every, now_us, demo_said(reading.floor)))
    return Written(why, {entry.uid: EventTold(_kept(entry), entry.sequence, entry.dropped) for entry in every})


def _kept(entry: CalendarEntry) -> str:
    """Return what is remembered of an entry: what it tells, as JSON."""
    day = entry.day.isoformat() if entry.day is not None else None
    return json.dumps([entry.title, entry.text, entry.start_us, entry.end_us, day])


def _gone(before: Mapping[str, EventTold], now: Container[str], now_us: int) -> Iterator[CalendarEntry]:
    """Yield what was written before, is not over yet, and is not among the entries of now."""
    for uid, event in before.items():
        if uid not in now:
            title, text, start_us, end_us, day = json.loads(event.told)
            on = date.fromisoformat(day) if day is not None else None
            entry = CalendarEntry(uid, title, text, start_us, end_us, on, dropped=True)
            if _lies_ahead(entry, now_us):
                yield entry


def _counted(entry: CalendarEntry, before: Mapping[str, EventTold], now_us: int) -> CalendarEntry:
    """Count an entry on where it tells something else than it did."""
    known, minute = before.get(entry.uid), now_us // (60 * SECOND_US)
    if known is None:
        return replace(entry, sequence=minute)
    same = (known.told, known.gone) == (_kept(entry), entry.dropped)
    return replace(entry, sequence=known.sequence if same else max(minute, known.sequence + 1))


def calendar_file(record: str, path: str, now_us: int) -> Written:
    """Do the same for a record that is still to be opened: beside the window."""
    with ReadOnlyRecord.open(Path(record)) as reading:
        return write_calendar(reading, Path(path), now_us)


def _planned(reading: ReadOnlyRecord, now_us: int) -> tuple[tuple[WorkSpan, ...], str]:
    """Return the days of the plan, by the batch worked last; nothing, with the reason, where there is none."""
    try:
        planner = Planner(reading.floor, reading.reads, now_us)
        if not planner.open:
            return (), ""
        return day_by_day(planner.plan(), len(planner.open) - 1), ""
    except ShopError as error:
        return (), str(error)
