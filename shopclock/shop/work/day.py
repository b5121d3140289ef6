"""A day of the shop: where it begins and ends, what was done on it, and which instant a typed time means."""

import re
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import clock_time, instant_of, shop_time, time_example, zone_of
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.overlap_rules import KEPT

_TYPED = re.compile(
    r"(?P<hour>\d{1,2})(?:[.:,/ -]?(?P<minute>\d{2}))?(?: ?(?P<half>[ap])(?:\.? ?m)?\.?)?", re.IGNORECASE
)


def day_of(at_us: int, zone: ZoneInfo) -> date:
    """Return the shop's day that an instant lies on."""
    return shop_time(at_us, zone).date()


def day_span(day: date, zone: ZoneInfo) -> tuple[int, int]:
    """Return the instants at which a day begins and the next one does: 23, 24 or 25 h apart."""
    return _instant(day, time(), zone), _instant(day + timedelta(days=1), time(), zone)


def stretches_of(floor: ShopFloor, day: date) -> tuple[Interval, ...]:
    """Return what was under way on a day, by start; what has no length is left out."""
    start_us, end_us = day_span(day, zone_of(floor))
    found = [
        interval
        for interval in floor.all(Interval)
        if interval.start_us < end_us
        and (interval.end_us is None or (interval.end_us > start_us and interval.end_us > interval.start_us))
    ]
    return tuple(sorted(found, key=lambda interval: (interval.start_us, interval.id)))


def worked_on(floor: ShopFloor, span_us: tuple[int, int], now_us: int) -> int:
    """Return how long somebody was at work between two instants: what ran at once counts once."""
    until_us, found = span_us[0], 0
    for interval in sorted(floor.all(Interval), key=lambda s: s.start_us):
        end_us = min(now_us if interval.end_us is None else interval.end_us, span_us[1])
        if interval.kind.attended and end_us > until_us and interval.start_us < span_us[1]:
            found += end_us - max(interval.start_us, until_us)
            until_us = end_us
    return found


def typed_time(text: str) -> time:
    """Understand a typed time of day: 19:10, 1910, 19.10, 9 (for nine o'clock), 7:10 PM, 7 pm."""
    found = _TYPED.fullmatch(text.strip())
    hour, minute = (int(found["hour"]), int(found["minute"] or 0)) if found else (24, 0)
    if found and found["half"]:  # twelve AM is midnight, twelve PM noon
        hour = hour % 12 + (12 if found["half"].lower() == "p" else 0) if 1 <= hour <= 12 else 24
    if hour > 23 or minute > 59:
        raise Refusal(f"That is no time of day. Type it as {time_example()}. {KEPT}")
    return time(hour, minute)


def instant_on(day: date, text: str, zone: ZoneInfo) -> int:
    """Return the instant of a typed time on a day; the first of two where the clocks went back."""
    return _first(_instants(day, typed_time(text), zone), text)


def start_meant(interval: Interval, text: str, now_us: int, zone: ZoneInfo) -> int:
    """Return the instant that a typed start means: the last such time before the end; for a wait the nearest."""
    end_us = now_us if interval.end_us is None else interval.end_us
    if not interval.kind.attended:
        return _nearest(text, interval.start_us, zone)
    found = [at for at in _around(text, end_us, zone) if at < end_us]
    return _first(reversed(found), text)


def end_meant(interval: Interval, text: str, now_us: int, zone: ZoneInfo) -> int:
    """Return the instant that a typed end means: the first such time after the start; for a wait the nearest."""
    if interval.kind.attended:
        return first_after(interval.start_us, text, zone)
    return _nearest(text, now_us if interval.end_us is None else interval.end_us, zone)


def first_after(at_us: int, text: str, zone: ZoneInfo) -> int:
    """Return the first instant after another at which the shop's clock showed a typed time."""
    return _first((at for at in _around(text, at_us, zone) if at > at_us), text)


def _nearest(text: str, near_us: int, zone: ZoneInfo) -> int:
    return _first(sorted(_around(text, near_us, zone), key=lambda at: abs(at - near_us)), text)


def _first(found: Iterator[int] | list[int], text: str) -> int:
    at_us = next(iter(found), None)
    if at_us is None:
        raise Refusal(f"The clocks went past {clock_time(typed_time(text))} that night. {KEPT}")
    return at_us


def _around(text: str, near_us: int, zone: ZoneInfo) -> list[int]:
    day, at = day_of(near_us, zone), typed_time(text)
    return [us for days in (-1, 0, 1) for us in _instants(day + timedelta(days=days), at, zone)]


def _instants(day: date, at: time, zone: ZoneInfo) -> list[int]:
    """Return when the shop's clock showed a time on a day: once, twice, or not at all."""
    found = sorted({_instant(day, at.replace(fold=fold), zone) for fold in (0, 1)})
    return [us for us in found if shop_time(us, zone).replace(tzinfo=None) == datetime.combine(day, at)]


def _instant(day: date, at: time, zone: ZoneInfo) -> int:
    return instant_of(datetime.combine(day, at, zone))
