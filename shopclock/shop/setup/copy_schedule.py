"""Schedule of copies: which are kept, when one is due, and how old one is in words."""

from collections.abc import Callable, Iterable
from datetime import date
from zoneinfo import ZoneInfo

from shopclock.shop.state.wording import shop_time

DAYS, WEEKS, MONTHS = 14, 8, 24
"""So many days, weeks and months that have a copy keep their newest. Common practice, no source."""
AGAIN_US = 2 * 3600 * 1_000_000
"""On a day that has a copy already, the next is due after so long."""


def kept(copies_us: Iterable[int], zone: ZoneInfo) -> frozenset[int]:
    """Return which of the copies made at these instants are kept; the newest always is."""
    newest_first = sorted(set(copies_us), reverse=True)
    return frozenset(
        at_us
        for span, most in ((_day, DAYS), (_week, WEEKS), (_month, MONTHS))
        for at_us in _newest_of_each(newest_first, zone, span, most)
    )


def _newest_of_each(
    newest_first: list[int], zone: ZoneInfo, span: Callable[[date], tuple[int, ...]], most: int
) -> Iterable[int]:
    found: dict[tuple[int, ...], int] = {}
    for at_us in newest_first:
        found.setdefault(span(shop_time(at_us, zone).date()), at_us)
    return list(found.values())[:most]


def _day(day: date) -> tuple[int, ...]:
    return (day.toordinal(),)


def _week(day: date) -> tuple[int, ...]:
    return day.isocalendar()[:2]


def _month(day: date) -> tuple[int, ...]:
    return (day.year, day.month)


def due(newest_us: int | None, now_us: int, zone: ZoneInfo) -> bool:
    """Tell whether it is time for another copy of a record that has changed since the newest one."""
    if newest_us is None or newest_us > now_us:
        return True
    another_day = shop_time(newest_us, zone).date() != shop_time(now_us, zone).date()
    return another_day or now_us - newest_us >= AGAIN_US


def age_text(at_us: int, now_us: int) -> str:
    """Say how old a copy is: "20 min old", "3 h old", "5 days old"."""
    minutes = max(0, now_us - at_us) // 60_000_000
    if minutes == 0:
        return "under 1 min old"
    if minutes < 60:
        return f"{minutes} min old"
    if minutes < 48 * 60:
        return f"{minutes // 60} h old"
    return f"{minutes // (24 * 60)} days old"
