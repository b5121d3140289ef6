"""A promise and a plan as they lie on a rule of days and on a rule of prices: plain values for a picture."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date
    from decimal import Decimal


@dataclass(frozen=True, slots=True)
class ToldDay:
    """A day and the words for how surely it holds: 18 Feb, 8 times in 10. The one that the sentence names leads."""

    day: date
    words: str
    leads: bool = False


@dataclass(frozen=True, slots=True)
class PromisedDay:
    """The day that an order was promised for, whose pieces lie in which batches, and whether it holds.

    `gets_late`: it would have held without what is asked for.
    """

    who: str
    day: date
    batches: frozenset[int]
    holds: bool
    gets_late: bool = False

    @property
    def words(self) -> str:
        """Words for what the asked work makes of it; empty where it holds."""
        return "" if self.holds else "gets late by it" if self.gets_late else "late already"


@dataclass(frozen=True, slots=True)
class DaysRule:
    """Days by which something is ready, the earliest first, and the days that orders were promised for."""

    today: date
    days: tuple[ToldDay, ...]
    promised: tuple[PromisedDay, ...]
    wanted: date | None = None


@dataclass(frozen=True, slots=True)
class PricesRule:
    """Lowest prices that pay once in 10, 8 and 9 times in 10, with tax, and what is asked."""

    low: Decimal
    likely: Decimal
    high: Decimal
    asked: Decimal | None
    currency: str
