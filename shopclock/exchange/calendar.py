"""The plan, the waits, the promises and what spoils as an iCalendar file (RFC 5545).

Instants are in UTC. Each entry keeps its UID from one file to the next, so that a second import changes what the first
one brought; SEQUENCE is the minute of writing, which only goes forward, and DTSTAMP the second of it. There is no
METHOD: the file is a copy of the plan, no invitation (RFC 5545, 3.7.2), and has nobody to name as its organizer.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING

from shopclock.shop.chain import since_us
from shopclock.shop.orders import open_orders, promised_day
from shopclock.shop.standing import ready_at
from shopclock.shop.today import waits
from shopclock.shop.values import Batch, Pattern, Shop, Step
from shopclock.shop.within import running_out
from shopclock.shop.wording import shop_time, zone_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from icalendar import Alarm, Event

    from shopclock.analysis.day_by_day import Stretch
    from shopclock.shop.floor import Floor

SECOND_US = 1_000_000
WARN_MIN = (15, 5)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry: from an instant to another, or a whole day; minutes before its end at which to be told.

    `dropped`: it stood in the last file and is no longer so.
    """

    uid: str
    title: str
    text: str
    start_us: int = 0
    end_us: int = 0
    day: date | None = None
    alarms_min: tuple[int, ...] = ()
    dropped: bool = False


def entries(floor: Floor, planned: Sequence[Stretch], now_us: int) -> tuple[Entry, ...]:
    """Return all entries: what is planned for each stretch of shop hours, waits, promises, what spoils."""
    return (*_evenings(floor, planned), *_waits(floor), *_promises(floor), *_spoiling(floor, now_us))


def _evenings(floor: Floor, planned: Sequence[Stretch]) -> Iterator[Entry]:
    """Yield one entry for the work of each day. Its UID is the day's: another plan changes it."""
    zone, shop = zone_of(floor), shop_of(floor)
    by_day: dict[date, list[Stretch]] = defaultdict(list)
    for one in planned:
        if one.work:
            by_day[shop_time(one.start_us, zone).date()].append(one)
    for day, own in sorted(by_day.items()):
        lines = dict.fromkeys(f"{one.batch.name}: {one.name}" for one in own)
        names = ", ".join(dict.fromkeys(one.name for one in own))
        yield Entry(
            f"plan-{day.isoformat()}@{shop}", names, "\n".join(lines), own[0].start_us, max(o.end_us for o in own)
        )


def _waits(floor: Floor) -> Iterator[Entry]:
    """Yield the waits that run and have a length."""
    for wait in waits(floor):
        end_us = ready_at(floor, wait)
        if end_us is not None and wait.step_id is not None and wait.batch_id is not None:
            step, batch = floor.get(Step, wait.step_id), floor.get(Batch, wait.batch_id)
            marks = " ".join(floor.marks(wait.pieces))
            yield Entry(
                f"wait-{wait.uuid}@{shop_of(floor)}", step.name, f"{batch.name}: {marks}", since_us(floor, wait), end_us
            )


def _promises(floor: Floor) -> Iterator[Entry]:
    for order in open_orders(floor):
        day = promised_day(order)
        if day is not None:
            what = f"{order.wanted} {floor.get(Pattern, order.pattern_id).name}"
            yield Entry(f"order-{order.uuid}@{shop_of(floor)}", f"Promised: {what}, {order.who}", order.note, day=day)


def _spoiling(floor: Floor, now_us: int) -> Iterator[Entry]:
    """Yield what is ruined if it waits, with alarms before it is."""
    for within in running_out(floor, now_us):
        uid = f"within-{within.rule.uuid}-{within.batch.uuid}-{within.since_us}@{shop_of(floor)}"
        title = f"{within.then.name} by now: {within.batch.name}"
        text = f"After {within.first.name}: {' '.join(floor.marks(within.pieces))}"
        yield Entry(uid, title, text, within.since_us, within.until_us, alarms_min=WARN_MIN)


def shop_of(floor: Floor) -> str:
    """Return what is after the @: the record's own number, so that two shops don't meet in one calendar."""
    return next((shop.uuid for shop in floor.all(Shop)), "shop")


def to_ical(told: Iterable[Entry], now_us: int) -> bytes:
    """Return the file's bytes: CRLF, folded at 75 octets, escaped; the library sees to that."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", "-//Shopclock//Plan//EN")
    calendar.add("version", "2.0")
    for entry in told:
        calendar.add_component(_event(entry, now_us))
    return bytes(calendar.to_ical())


def _event(entry: Entry, now_us: int) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", _utc(now_us))
    event.add("sequence", now_us // (60 * SECOND_US))
    event.add("summary", entry.title)
    if entry.text:
        event.add("description", entry.text)
    start, end = _ends(entry)
    event.add("dtstart", start)
    event.add("dtend", end)
    if entry.dropped:
        event.add("status", "CANCELLED")
    for minutes in entry.alarms_min:
        event.add_component(_alarm(entry.title, minutes))
    return event


def _ends(entry: Entry) -> tuple[date, date]:
    """Return start and end. The end isn't in it and has to be later: a day ends with the next one."""
    if entry.day is not None:
        return entry.day, entry.day + timedelta(days=1)
    return _utc(entry.start_us), _utc(max(entry.end_us, entry.start_us + SECOND_US))


def _alarm(title: str, minutes: int) -> Alarm:
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", title)
    alarm.add("trigger", timedelta(minutes=-minutes), parameters={"RELATED": "END"})
    return alarm


def _utc(at_us: int) -> datetime:
    """Return an instant to the second, as the format has it."""
    return datetime(1970, 1, 1, tzinfo=UTC) + timedelta(seconds=at_us // SECOND_US)
