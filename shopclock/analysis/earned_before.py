"""What would have been told of a batch's earnings before it began, by the record of then: to stand beside the fact."""

from __future__ import annotations

from decimal import Decimal
from math import ceil
from typing import TYPE_CHECKING

from shopclock.analysis.cost import Made, earned_per_hour, piece_cost
from shopclock.analysis.forecast import DRAWS, told_before

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.cost import Overhead
    from shopclock.analysis.forecast import Forecast
    from shopclock.analysis.history import History
    from shopclock.shop.planned import CostItem
    from shopclock.shop.rates import Rates

RANGE = (0.1, 0.9)
FEW = 2000


def hours_before(
    history: History, batch_id: int, price: Decimal, items: Sequence[CostItem], own: Rates, over: Overhead
) -> tuple[Decimal, Decimal] | None:
    """Return between which amounts an hour would have earned, 8 times in 10, at this price and today's costs.

    Nothing where the batch isn't closed, or too little was known when it began.
    """
    done = next((done for done in history.batches if done.batch_id == batch_id), None)
    told = told_before(history, done, DRAWS) if done is not None else None
    return hour_range(told, price, items, own, over) if told is not None else None


def hour_range(
    told: Forecast, price: Decimal, items: Sequence[CostItem], own: Rates, over: Overhead
) -> tuple[Decimal, Decimal] | None:
    """Return what an hour earns in a tenth and in nine tenths of the draws; nothing where one in ten finishes nothing.

    A few thousand draws are reckoned in decimal, each as the batch it would be.
    """
    draws = zip(told.finished[:FEW].tolist(), told.total_min[:FEW].tolist(), strict=True)
    earned = [_hour(told.job.pieces, f, m, price, items, own, over) for f, m in draws]
    known = sorted(hour for hour in earned if hour is not None)
    if len(known) < 0.9 * len(earned):
        return None
    low, high = (known[ceil(share * len(known)) - 1] for share in RANGE)
    return low, high


def _hour(
    begun: int, finished: int, minutes: float, price: Decimal, items: Sequence[CostItem], own: Rates, over: Overhead
) -> Decimal | None:
    if not finished:
        return None
    made = Made(begun, finished, Decimal(repr(minutes)), Decimal(0))
    return earned_per_hour(price, piece_cost(made, items, own, over), own)
