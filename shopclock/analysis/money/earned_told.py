"""Earnings of each batch as Review and Plan tell them, beside what was to be told before the batch began."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, told_before
from shopclock.analysis.forecast.history import history_of
from shopclock.analysis.money.cost import MadeBatch, earned_per_hour, piece_cost
from shopclock.analysis.money.earnings import earned, spread
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.setup.costs import asked, costs_of, sent_by_batch
from shopclock.shop.setup.rates import rates
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import money_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.forecast.forecast import Forecast
    from shopclock.analysis.forecast.history import History
    from shopclock.analysis.money.cost import Overhead
    from shopclock.analysis.money.earnings import Earned
    from shopclock.shop.setup.rates import Rates
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import CostItem
    from shopclock.shop.values.money import Manner


@dataclass(frozen=True, slots=True)
class BatchEarned:
    """A closed batch: what an hour of it earned, as a number for its bar and as text."""

    name: str
    pattern: str
    hour: float
    text: str


@dataclass(frozen=True, slots=True)
class EarnedTold:
    """The closed batches by pattern and in the order they were closed; how many tell nothing, for want of a price."""

    batches: tuple[BatchEarned, ...]
    untold: int


def batch_earned(path: str, batch_id: int, now_us: int, manner: Manner) -> str:
    """Say in a line what a batch earned an hour, beside what was to be told before it began, and what was lost cost.

    "" where neither is known.
    """
    with ReadOnlyRecord.open(Path(path)) as reading:
        floor = reading.load_batch(batch_id)
        pattern = floor.get(Pattern, floor.get(Batch, batch_id).pattern_id)
        if not _priced(floor, pattern):
            return ""
        try:
            over = spread(floor, reading.reads.intervals(), now_us)
            own = earned(floor, figures(floor, batch_id, now_us), over)
            return earned_text(floor, own, manner, _before(reading, own, over, now_us))
        except ShopError as error:
            return str(error)


def _priced(floor: ShopFloor, pattern: Pattern) -> bool:
    """Tell whether anything is set by which a batch of a pattern could be reckoned in money."""
    return bool(asked(floor, pattern) is not None or costs_of(floor, pattern) or rates(floor).hour)


def _before(reading: ReadOnlyRecord, own: Earned, over: Overhead, now_us: int) -> tuple[Decimal, Decimal] | None:
    """Return what could have been told before a batch began, at the price it got and by the costs of now."""
    if own.price is None:
        return None
    floor, batch = reading.floor, own.told.batch
    items = costs_of(floor, floor.get(Pattern, batch.pattern_id), sent_by_batch(floor, batch))
    return hours_before(history_of(reading.reads, now_us), batch.id, own.price, items, rates(floor), over)


def earned_text(floor: ShopFloor, own: Earned, manner: Manner, before: tuple[Decimal, Decimal] | None = None) -> str:
    """Say it: Earned EUR 24.10 an hour; before it began: EUR 20.00 to EUR 27.50. What was lost cost EUR 38.00."""
    so_far = " so far" if own.told.so_far else ""
    lost = own.cost.carried * own.told.finished
    told = []
    if own.hour is not None:
        ahead = f"; before it began: {' to '.join(_money(floor, hour, manner) for hour in before)}" if before else ""
        told.append(f"Earned {_money(floor, own.hour, manner)} an hour{so_far}{ahead}.")
    if lost > 0:
        told.append(f"What was lost cost {_money(floor, lost, manner)}{so_far}.")
    return " ".join(told)


def _money(floor: ShopFloor, amount: Decimal, manner: Manner) -> str:
    return money_text(amount, rates(floor).currency, manner)


def all_earned(path: str, now_us: int, manner: Manner) -> EarnedTold:
    """Return what an hour earned in each closed batch; ShopError where costs are in two currencies."""
    with ReadOnlyRecord.open(Path(path)) as reading:
        over = spread(reading.floor, reading.reads.intervals(), now_us)
        closed = sorted((b for b in reading.floor.all(Batch) if b.closed_us is not None), key=_by_pattern)
        told = [_batch(reading, batch, over, manner) for batch in closed]
        known = tuple(one for one in told if one is not None)
        return EarnedTold(known, len(told) - len(known))


def _by_pattern(batch: Batch) -> tuple[int, int, int]:
    return batch.pattern_id, batch.closed_us or 0, batch.id


def _batch(reading: ReadOnlyRecord, batch: Batch, over: Overhead, manner: Manner) -> BatchEarned | None:
    floor = reading.load_batch(batch.id)
    told = figures(floor, batch.id, reading.newest_us)
    if told.at_least or not told.finished:
        return None
    own = earned(floor, told, over)
    if own.hour is None:
        return None
    pattern = floor.get(Pattern, batch.pattern_id).name
    return BatchEarned(batch.name, pattern, float(own.hour), _money(floor, own.hour, manner))


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
    made = MadeBatch(begun, finished, Decimal(repr(minutes)), Decimal(0))
    return earned_per_hour(price, piece_cost(made, items, own, over), own)
