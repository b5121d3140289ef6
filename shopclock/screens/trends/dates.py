"""What is written along a chart by date: days, months or years of the shop's wall clock."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from shopclock.shop.state.wording import day_text, shop_time

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

DAY_US = 86_400_000_000
MOST = 9
MONTHS = (1, 2, 3, 6, 12, 24, 60, 120)
DAYS = (1, 2, 7, 14)

Tick = tuple[float, str]


def date_ticks(first_us: float, last_us: float, zone: ZoneInfo) -> tuple[Tick, ...]:
    """Return at most 9 dates between two instants, in days since 1970 UTC, each at its midnight in the shop.

    Days up to nine weeks, then the first of months: "12 Mar", "Mar 2026".
    """
    first, last = shop_time(int(first_us), zone), shop_time(int(last_us), zone)
    weeks = (last - first).days / 7
    days = _days(first, last) if weeks <= MOST else _months(first, last)
    return tuple((_place(day), text) for day, text in days if first_us <= _place(day) * DAY_US <= last_us)


def _place(day: datetime) -> float:
    """Return a wall clock time as days since 1970 UTC."""
    return (day - datetime(1970, 1, 1, tzinfo=UTC)) / timedelta(days=1)


def _midnight(at: datetime) -> datetime:
    return at.replace(hour=0, minute=0, second=0, microsecond=0)


def _days(first: datetime, last: datetime) -> list[tuple[datetime, str]]:
    step = next((step for step in DAYS if (last - first).days / step < MOST), DAYS[-1])
    start = _midnight(first)
    days = [start + timedelta(days=i) for i in range(0, (last - first).days + 2, step)]
    return [(day, day_text(day.date()).split(" ", 1)[1]) for day in days]


def _months(first: datetime, last: datetime) -> list[tuple[datetime, str]]:
    number, until = first.year * 12 + first.month - 1, last.year * 12 + last.month - 1
    step = next((step for step in MONTHS if (until - number) / step < MOST), MONTHS[-1])
    start = -(-number // step) * step
    days = [_midnight(first).replace(year=n // 12, month=n % 12 + 1, day=1) for n in range(start, until + 1, step)]
    return [(day, f"{day_text(day.date()).rsplit(' ', 1)[1]} {day.year}") for day in days]
