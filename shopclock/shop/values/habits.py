"""Habits of the maker's place: how days, times of day and figures are said, and with which day the week begins.

They are the machine's, not the shop's: told once when the program starts, and handed on to its workers. Until then, and
in the commands, which scripts read, the day comes first, the clock has 24 hours, the week begins on Monday, and a point
stands before decimals.
"""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Habits:
    """Order of month and day, a clock of 12 hours or 24, the first day of the week (Monday 0), the decimal mark."""

    month_first: bool = False
    half_days: bool = False
    first_weekday: int = 0
    decimal: str = "."

    def week(self) -> tuple[int, ...]:
        """Return the days of the week in order, Monday 0."""
        return tuple((self.first_weekday + number) % 7 for number in range(7))


class _Held:
    """The one place where they are held: every sentence with a day in it would otherwise have to be handed them."""

    habits = Habits()


def habits() -> Habits:
    """Return the habits of this place."""
    return _Held.habits


def take_habits(found: Habits) -> None:
    """Go by these from now on."""
    _Held.habits = found


def figure(value: float | Decimal, digits: int = 1) -> str:
    """Say a figure with so many digits, by the decimal mark of this place: 14.6, or 14,6."""
    return marked(f"{value:.{digits}f}")


def marked(number: str) -> str:
    """Return a number that is written with a point as it is written at this place."""
    return number.replace(".", habits().decimal)
