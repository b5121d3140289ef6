"""The days of a batch: hours by day, and what ran from when to when."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from shopclock.shop.figures.derive import derive
from shopclock.shop.figures.labour import divide
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Kind


@dataclass(frozen=True, slots=True)
class DayInterval:
    """A piece of an interval that lies in one day. `labour_us` is what it got of the hands."""

    step_id: int | None
    stage_id: int
    kind: Kind
    start_us: int
    end_us: int
    labour_us: int
    runs: bool


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the shop with what ran on it; `begins_us` and `ends_us` are its midnights."""

    day: date
    begins_us: int
    ends_us: int
    intervals: tuple[DayInterval, ...]

    @property
    def labour_us(self) -> int:
        """All labour of the day."""
        return sum(interval.labour_us for interval in self.intervals)


def days(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[Day, ...]:
    """Return the days on which something of a batch ran, by the shop's calendar; waits count too.

    The labour of an interval over midnight is divided by length; over all days it adds up exactly.
    """
    zone = zone_of(floor)
    all_of_it = floor.of_batch(Interval, batch_id)
    so_far = derive(floor, [i.id for i in all_of_it if i.end_us is None], now_us).labour
    by_day: dict[date, list[DayInterval]] = defaultdict(list)
    for interval in sorted(all_of_it, key=lambda i: (i.start_us, i.id)):
        labour = floor.labour.get(interval.id, so_far.get(interval.id, 0))
        for day, part in _cut(interval, labour, now_us, zone):
            by_day[day].append(part)
    return tuple(
        Day(day, _midnight(day, zone), _midnight(day + timedelta(days=1), zone), tuple(by_day[day]))
        for day in sorted(by_day)
    )


def _cut(interval: Interval, labour_us: int, now_us: int, zone: ZoneInfo) -> list[tuple[date, DayInterval]]:
    """Cut an interval at midnights; one of no length is nothing to show."""
    end = now_us if interval.end_us is None else interval.end_us
    if end <= interval.start_us:
        return []
    cuts = [interval.start_us, *_midnights(interval.start_us, end, zone), end]
    got = divide(labour_us, [b - a for a, b in pairwise(cuts)])
    return [
        (
            shop_time(a, zone).date(),
            DayInterval(interval.step_id, interval.stage_id, interval.kind, a, b, part, interval.end_us is None),
        )
        for (a, b), part in zip(pairwise(cuts), got, strict=True)
    ]


def _midnights(start_us: int, end_us: int, zone: ZoneInfo) -> list[int]:
    day = shop_time(start_us, zone).date()
    found: list[int] = []
    while True:
        day += timedelta(days=1)
        at = _midnight(day, zone)
        if at >= end_us:
            return found
        found.append(at)


def _midnight(day: date, zone: ZoneInfo) -> int:
    at = datetime(day.year, day.month, day.day, tzinfo=zone)
    return round(at.timestamp()) * 1_000_000
