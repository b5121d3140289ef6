"""Questions that several pages of Plan ask: a number, a pattern, a day, hours of a day of the week."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, time, timedelta
from typing import TYPE_CHECKING

from shopclock.shop.setup.week import DAY_MIN, WEEKDAYS
from shopclock.shop.state.wording import clock_time, day_text
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.habits import habits
from shopclock.shop.work.day import typed_time
from shopclock.views.dialogs import CLOCK, COUNT, Choice
from shopclock.views.field import Number, choose

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.values.entities import Pattern
    from shopclock.views.field import Asking

NEAR_DAYS = 35
WEEKS = (6, 8, 12)
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November",
          "December")  # fmt: skip


def ask_number(question: str, start: int | str, most: int, of: str = "") -> Asking[int]:
    """Ask how many; refused where it isn't from 1 to `most`."""
    typed = yield from Number(question, str(start), signs=COUNT)
    if not (typed.isdecimal() and 1 <= int(typed) <= most):
        raise Refusal(f"{typed} is no number{of} from 1 to {most}. Nothing was changed.")
    return int(typed)


def ask_pattern(patterns: Sequence[Pattern], now: int | None = None) -> Asking[Pattern]:
    """One of the patterns; that of now is marked."""
    return choose("Which pattern", [(Choice(str(p.id), p.name, checked=p.id == now), p) for p in patterns])


def ask_day(question: str, today: date) -> Asking[date]:
    """A day from today on: pressed on the next five weeks, in so many weeks, or on the leaf of a later month."""
    near = [_day_choice(today + timedelta(days=n)) for n in range(NEAR_DAYS)]
    weeks = {n: today + timedelta(weeks=n) for n in WEEKS}
    soon = [(Choice(str(n), f"In {n} weeks", day_text(day)), day) for n, day in weeks.items()]
    chosen = yield from choose(question, [*near, *soon, (Choice("later", "Later", "by its month"), None)])
    if chosen is not None:
        return chosen
    months = [_month(today, n) for n in range(1, 13)]
    said = [(Choice(f"{first:%Y-%m}", MONTHS[first.month - 1], str(first.year)), first) for first in months]
    first = yield from choose("Which month", said)
    days = monthrange(first.year, first.month)[1]
    return (yield from choose("Which day", [_day_choice(first.replace(day=n)) for n in range(1, days + 1)]))


def _day_choice(day: date) -> tuple[Choice, date]:
    """A leaf of the calendar: 12 Dec, Sat."""
    weekday, _, rest = day_text(day).partition(" ")
    return Choice(day.isoformat(), rest, weekday), day


def _month(today: date, months_on: int) -> date:
    """Return the first day of a later month."""
    years, month = divmod(today.month - 1 + months_on, 12)
    return date(today.year + years, month + 1, 1)


def ask_hours() -> Asking[tuple[int, int, int]]:
    """A day of the week, Monday 0, and from which minute of it to which."""
    days = [(Choice(str(i), WEEKDAYS[i]), i) for i in habits().week()]
    weekday = yield from choose("On which day", days)
    begins, ends = (clock_time(time(hour)) for hour in (19, 21))
    from_min = _minute((yield from Number(f"{WEEKDAYS[weekday]} from", begins, signs=CLOCK)))
    return weekday, from_min, _minute((yield from Number(f"{WEEKDAYS[weekday]} until", ends, signs=CLOCK)))


def _minute(typed: str) -> int:
    """Return the minute of a day for a typed time; 24:00 is its end. Refused where it is none."""
    if typed in ("24", "24:00", "2400"):
        return DAY_MIN
    at = typed_time(typed)
    return at.hour * 60 + at.minute
