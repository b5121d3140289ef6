"""What the last calendar file had and this one hasn't: a calendar that is renewed has to be told that it is gone."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from shopclock.exchange.calendar import Entry

if TYPE_CHECKING:
    from collections.abc import Iterable

    from icalendar import Event

SECOND_US = 1_000_000


def dropped(before: bytes, now: Iterable[Entry], shop: str, now_us: int) -> tuple[Entry, ...]:
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


def _read(event: Event) -> Entry:
    told = Entry(event.uid, event.summary or "", event.description or "", dropped=True)
    if isinstance(event.start, datetime):
        return replace(told, start_us=_us(event.start), end_us=_us(event.end))
    return replace(told, day=event.start)


def _lies_ahead(entry: Entry, now_us: int) -> bool:
    today = datetime.fromtimestamp(now_us // SECOND_US, UTC).date()
    return entry.day >= today if entry.day is not None else entry.end_us > now_us


def _us(at: date) -> int:
    return round(at.timestamp()) * SECOND_US if isinstance(at, datetime) else 0
