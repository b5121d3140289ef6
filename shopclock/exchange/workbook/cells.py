"""Parts of a sheet: columns with a head, a kind of value, and where the value comes from."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum, auto
from typing import Generic, TypeVar

R = TypeVar("R")
Value = str | int | float | Decimal | None


class Holds(Enum):
    """Kind of value in the cells of a column. The value itself is in the program's own unit."""

    TEXT = auto()
    COUNT = auto()
    MINUTES = auto()
    """Decimal minutes."""
    MONEY = auto()
    """An amount in the currency that the row or head names."""
    LENGTH = auto()
    """Microseconds, shown as [h]:mm."""
    SHOP_TIME = auto()
    """An instant in microseconds UTC, shown by the shop's wall clock."""
    UTC = auto()
    """An instant in microseconds UTC, shown in UTC."""

    def __call__(self, head: str, width: int, of: Callable[[R], Value], tells: str) -> "SheetColumn[R]":
        """Return a column of such cells."""
        return SheetColumn(head, self, width, of, tells)


@dataclass(frozen=True, slots=True)
class SheetColumn(Generic[R]):
    """One column: its head with its unit, what its cells hold, how wide at least, what it tells (for the manual)."""

    head: str
    holds: Holds
    width: int
    of: Callable[[R], Value]
    tells: str


@dataclass(frozen=True, slots=True)
class Sheet(Generic[R]):
    """A sheet: its name on the tab and its columns; rows are written as they come.

    The first `printed` columns go on paper, all where none is said; money has so many `places` after its point.
    """

    name: str
    columns: tuple[SheetColumn[R], ...]
    printed: int | None = None
    places: int = 2


def minutes(us: int) -> float:
    """Return microseconds as decimal minutes."""
    return us / 60e6


def yes(flag: bool) -> str:
    """Say a flag in a cell: yes, or nothing, so that a filter finds the few."""
    return "yes" if flag else ""
