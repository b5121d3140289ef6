"""Wording of times, lengths and counts: the same on screens, sheets and paper."""

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from decimal import ROUND_FLOOR, Decimal
from zoneinfo import ZoneInfo

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Shop, Word
from shopclock.shop.values.habits import figure, habits

MINUTE_US = 60_000_000
LATELY_US = 12 * 60 * MINUTE_US
"""So long after the end of a wait what counts is how long ago it was."""
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def clock_text(length_us: int) -> str:
    """Say a running length: 0:47:12. Seconds that have begun don't count yet."""
    seconds = max(0, length_us) // 1_000_000
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}"


def length_text(length_us: int) -> str:
    """Say a length in words, to the minute: 3 h 49, 2 h, 47 min, 0 min."""
    minutes = (length_us + MINUTE_US // 2) // MINUTE_US
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02d}" if rest else f"{hours} h"


def minutes_text(minutes: float | None) -> str:
    """Say minutes per piece with one digit: 14.6; a dash where there are none."""
    return "–" if minutes is None else figure(minutes)


def range_text(low: float, high: float) -> str:
    """Say a usual range: 15.2 to 19.6, without digits from 20 on; once where both ends read the same."""
    ends = [f"{value:.0f}" if low >= 20 else figure(value) for value in (low, high)]
    return " to ".join(dict.fromkeys(ends))


def rounded_parts(values: Sequence[float | Decimal], digits: int = 1) -> list[Decimal]:
    """Round parts so that they add up to their rounded sum (largest remainder)."""
    unit = Decimal(1).scaleb(-digits)
    exact = [Decimal(value) for value in values]
    parts = [value.quantize(unit, ROUND_FLOOR) for value in exact]
    total = sum(exact, Decimal(0)).quantize(unit)
    missing = int((total - sum(parts, Decimal(0))) / unit)
    by_rest = sorted(range(len(exact)), key=lambda i: (parts[i] - exact[i], i))
    for i in by_rest[:missing]:
        parts[i] += unit
    return parts


def zone_of(floor: ShopFloor) -> ZoneInfo:
    """Return the zone that the shop's days are told in."""
    return ZoneInfo(next((shop.zone for shop in floor.all(Shop)), "UTC"))


def shop_time(at_us: int, zone: ZoneInfo) -> datetime:
    """Return an instant as the shop's wall clock had it, exact to the microsecond."""
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    return (epoch + timedelta(microseconds=at_us)).astimezone(zone)


def instant_of(at: datetime) -> int:
    """Return the instant in microseconds UTC of a time that knows its zone."""
    return (at.astimezone(UTC) - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(microseconds=1)


def time_text(at_us: int, zone: ZoneInfo) -> str:
    """Say a clock time: 20:55, or 8:55 PM."""
    return clock_time(shop_time(at_us, zone))


def clock_time(at: datetime | time) -> str:
    """Say the time of day of a wall clock, by the habits of the place: 20:55, or 8:55 PM."""
    if not habits().half_days:
        return f"{at:%H:%M}"
    return f"{at.hour % 12 or 12}:{at:%M} {'AM' if at.hour < 12 else 'PM'}"


def time_example() -> str:
    """Say a time of day as one is typed at this place: 19:10, or 7:10 PM."""
    return clock_time(time(19, 10))


def day_text(day: date) -> str:
    """Say a day: Thu 26 Nov, or Thu Nov 26."""
    name, month = _DAYS[day.weekday()], _MONTHS[day.month - 1]
    return f"{name} {month} {day.day}" if habits().month_first else f"{name} {day.day} {month}"


def when_text(at_us: int, now_us: int, zone: ZoneInfo) -> str:
    """Say when: 20:55 today, tomorrow 20:40, yesterday 18:02, Mon 30 Nov 20:40."""
    day = near_day_text(at_us, now_us, zone)
    return f"{day} {time_text(at_us, zone)}" if day else time_text(at_us, zone)


def near_day_text(at_us: int, now_us: int, zone: ZoneInfo) -> str:
    """Say on which day: tomorrow, yesterday, Mon 30 Nov; nothing where it is today."""
    day, today = shop_time(at_us, zone).date(), shop_time(now_us, zone).date()
    return {0: "", 1: "tomorrow", -1: "yesterday"}.get((day - today).days, day_text(day))


def ended_text(at_us: int, now_us: int, zone: ZoneInfo) -> str:
    """Say how long ago a wait ended: ended 14 min ago; after half a day, since when it is ready."""
    ago_us = now_us - at_us
    if ago_us < MINUTE_US:
        return "just ended"
    return f"ended {length_text(ago_us)} ago" if ago_us < LATELY_US else f"ready since {when_text(at_us, now_us, zone)}"


def counted(floor: ShopFloor, name: str, n: int) -> str:
    """Say a count in the shop's own words: 7 blades, 1 knife. `name` is a Word's name."""
    word = floor.word(name)
    if word is None:
        return f"{n} {name}"
    return f"{n} {word.one if n == 1 else word.many}"


def word(floor: ShopFloor, name: str) -> Word:
    """Return the shop's own word; every shop has all of them (KeyError otherwise)."""
    found = floor.word(name)
    if found is None:
        raise KeyError(name)
    return found
