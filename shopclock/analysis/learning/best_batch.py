"""The best batch of a method, and whether a batch was quicker or slower than all before it."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from shopclock.shop.figures.trend_rows import ENOUGH, LAST

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.lot import Lot

BEST_OF = 3
"""A batch of one or two can be quick by luck alone."""


class BestBatch(StrEnum):
    """How a batch stands to those before it."""

    QUICKER = "quicker"
    SLOWER = "slower"


def best(lots: Sequence[Lot]) -> Lot | None:
    """Return the lot with the fewest minutes per piece of those that count and have three pieces or more."""
    fitting = [lot for lot in lots if lot.left_out is None and lot.pieces >= BEST_OF]
    return min(fitting, key=lambda lot: (lot.minutes, lot.number), default=None)


def compare_to_best(lots: Sequence[Lot], lot: Lot) -> BestBatch | None:
    """Return whether a lot that counts lies outside all of the last eight before it, by run minutes; nothing otherwise.

    Of the same pattern where it has four, else of all, as for what is usual. Eight it must be: outside of fewer lies
    every third batch by chance.
    """
    if lot.left_out is not None:
        return None
    before = sorted((o for o in lots if o.left_out is None and o.at_us < lot.at_us), key=lambda o: o.at_us)
    own = [other for other in before if other.pattern_id == lot.pattern_id]
    minutes = [other.minutes for other in (own if len(own) >= ENOUGH else before)[-LAST:]]
    if len(minutes) < LAST:
        return None
    if lot.minutes < min(minutes):
        return BestBatch.QUICKER
    return BestBatch.SLOWER if lot.minutes > max(minutes) else None
