"""Evenings of work in the demo shop, and weekends; none in the holidays."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from shopclock.demo.clock import HOUR_US, MINUTE_US
from shopclock.demo.dice import about, dice
from shopclock.demo.shop import DemoShop, Habit
from shopclock.shop.values.clock import US

LATE_HOURS = 4
"""Work after midnight belongs to the day before."""
CATCH_UP_DAYS = 14
"""So near the end every evening can be used, if a batch is behind."""


@dataclass(frozen=True, slots=True)
class Evening:
    """A stretch of time in the shop. `days` before the end; a `spare` one is used only when needed."""

    days: int
    start_us: int
    end_us: int
    spare: bool = False


def local_us(day: date, clock: time, zone: ZoneInfo) -> int:
    """Return the instant of a wall clock's time on a day, in microseconds UTC."""
    return round(datetime.combine(day, clock, zone).timestamp()) * US


def evenings(shop: DemoShop, end_us: int, seed: int) -> Iterator[Evening]:
    """Yield the evenings that lead up to an end, oldest first; the last one ends just before it."""
    zone = ZoneInfo(shop.zone)
    last_day = datetime.fromtimestamp(end_us / US - LATE_HOURS * 3600, zone).date()
    for days in range(max(batch.days for batch in shop.batches), 0, -1):
        evening = _on(shop, last_day - timedelta(days), days, seed, zone)
        if evening is not None:
            yield evening
    yield Evening(0, end_us - round(shop.last_minutes * MINUTE_US), end_us)


def _on(shop: DemoShop, day: date, days: int, seed: int, zone: ZoneInfo) -> Evening | None:
    """Return the evening of a day, if there is one."""
    thrown = dice(seed, "evening", days)
    habit = _habit_of(shop, day)
    late, longer, comes = thrown.gauss(0, 12), about(thrown, 0.15), thrown.random()
    told = next((step.starts for step in shop.last if step.days == days and step.starts), None)
    if told is not None:
        start_us = local_us(day, told, zone)
        return Evening(days, start_us, start_us + 3 * HOUR_US)
    start_us = local_us(day, habit.starts, zone) + round(late * MINUTE_US)
    evening = Evening(days, start_us, start_us + round(habit.hours * longer * HOUR_US))
    if comes < habit.chance and not _holiday(shop, day):
        return evening
    spare = days <= CATCH_UP_DAYS
    return Evening(days, evening.start_us, evening.end_us, spare=True) if spare else None


def _habit_of(shop: DemoShop, day: date) -> Habit:
    """Return what is usual on a day; a day nobody comes on has a chance of nothing."""
    found = (habit for habit in shop.habits if day.weekday() in habit.weekdays)
    return next(found, Habit((day.weekday(),), 0.0, time(18, 30), 2.0))


def _holiday(shop: DemoShop, day: date) -> bool:
    here = f"{day:%m-%d}"
    return any(_within(here, first, last) for first, last in shop.holidays)


def _within(here: str, first: str, last: str) -> bool:
    """Tell whether a month and day lies in a span, which may go over the new year."""
    return first <= here <= last if first <= last else here >= first or here <= last
