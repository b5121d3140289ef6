"""Costs and earnings of the shop's batches, past and to come: the record's figures in money."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, EVEN, at, told_before
from shopclock.analysis.forecast.history import history_of
from shopclock.analysis.forecast.stage_forecast import ShopEstimates
from shopclock.analysis.money.cost import (
    MadeBatch,
    Overhead,
    PieceCost,
    earned_per_hour,
    lowest_price,
    overhead,
    paid,
    piece_cost,
)
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.planning.orders import order_of_piece
from shopclock.shop.setup.costs import asked, costs_of, sent_by_batch
from shopclock.shop.setup.rates import foreign, rates
from shopclock.shop.values.entities import Batch, CostItem, CostKind, OrderState, Pattern, Per
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.values.money import money_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shopclock.analysis.forecast.forecast import Forecast
    from shopclock.analysis.forecast.history import History
    from shopclock.record.read.rows import IntervalRow
    from shopclock.shop.figures.batch_figures import BatchFigures
    from shopclock.shop.setup.rates import Rates
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Piece
    from shopclock.shop.values.money import Manner

HOUR_US = Decimal(3_600_000_000)
YEAR_US = 365 * 24 * 3600 * 1_000_000


class YearHours:
    """Gathers the hours of the last twelve months, or since timing began, at the work and of the shop's own work."""

    def __init__(self, now_us: int) -> None:
        self._now_us = self._first_us = now_us
        self._work_us = self._shop_us = 0

    def add(self, row: IntervalRow) -> None:
        """Count an interval in, in whatever order they come."""
        if not row.labour_us or row.start_us < self._now_us - YEAR_US:
            return
        self._first_us = min(self._first_us, row.start_us)
        if row.batch_id is None:
            self._shop_us += row.labour_us
        else:
            self._work_us += row.labour_us

    def over(self, floor: ShopFloor) -> Overhead:
        """Return what an hour at the work carries; a sentence where a cost is in another currency."""
        months = max(Decimal(1), Decimal(self._now_us - self._first_us) * 12 / YEAR_US)
        work, own = (Decimal(us) / HOUR_US / months for us in (self._work_us, self._shop_us))
        return overhead(one_currency(floor, floor.all(CostItem)), rates(floor), work, own)


def spread(floor: ShopFloor, rows: Iterable[IntervalRow], now_us: int) -> Overhead:
    """Return what an hour at the work carries, by the hours of the last twelve months (or since timing began)."""
    hours = YearHours(now_us)
    for row in rows:
        hours.add(row)
    return hours.over(floor)


def one_currency(floor: ShopFloor, items: Iterable[CostItem]) -> list[CostItem]:
    """Return costs that are all in the shop's currency; a sentence where one isn't: nothing is converted."""
    other = foreign(floor)
    if other:
        raise ShopError(
            f"{other[0].name} is in {other[0].currency}, the shop reckons in {rates(floor).currency}. "
            "Type its amount anew; no price is told until then."
        )
    return [item for item in items if not item.put_away]


def made_of(told: BatchFigures) -> MadeBatch:
    """Return a batch's figures as costs read them; in an open one living pieces count as finished."""
    whole = told.whole
    minutes = (Decimal(us) / 60_000_000 for us in (whole.all_us, sum(whole.carried.values())))
    return MadeBatch(told.started, told.finished, *minutes)


@dataclass(frozen=True, slots=True)
class Earned:
    """Cost and earnings of a batch: the mean price of its pieces, without tax, and what an hour of it brought.

    `sale_fees` are what selling a piece at that price costs; nothing where it has none. `sold`: pieces of orders done.
    Of an open batch nothing is said of an hour before its pieces are through: what is still to work isn't in it.
    """

    told: BatchFigures
    cost: PieceCost
    price: Decimal | None
    hour: Decimal | None
    sale_fees: Decimal = Decimal(0)
    sold: int = 0

    @property
    def fees(self) -> Decimal:
        """Fees of a piece: those kept as costs, and those of its sale."""
        return self.cost.fees + self.sale_fees

    @property
    def total(self) -> Decimal:
        """Cost of a finished piece, its sale included."""
        return self.cost.total + self.sale_fees

    @property
    def cost_of_all(self) -> Decimal:
        """Cost of all its finished pieces, with what they carry."""
        return self.total * self.told.finished

    @property
    def price_of_all(self) -> Decimal | None:
        """Price of all its finished pieces, without tax."""
        return None if self.price is None else self.price * self.told.finished


def earned(floor: ShopFloor, told: BatchFigures, over: Overhead, brought: ShopFloor | None = None) -> Earned:
    """Return what a batch earned: ordered pieces at the price of their order, the others at what is asked.

    A second that nobody ordered has its share of what is asked. `brought` is a floor on which the batch stands where it
    doesn't on the shop's own. A batch with steps that were not timed has no price: its minutes are a least.
    """
    if told.at_least:
        raise ShopError(f"Part of {told.batch.name} was not timed, so what it earned can't be told.")
    pattern, own = floor.get(Pattern, told.batch.pattern_id), rates(floor)
    there = brought if brought is not None else floor
    items = one_currency(floor, costs_of(floor, pattern, sent_by_batch(there, told.batch)))
    cost = piece_cost(made_of(told), items, own, over)
    price, sold = _mean_price(floor, there.pieces(told.batch.id), pattern)
    if price is None:
        return Earned(told, cost, None, None, sold=sold)
    hour = earned_per_hour(price, cost, own) if told.worked_out else None
    return Earned(told, cost, price, hour, fees_of_sale(price, own), sold)


def fees_of_sale(price: Decimal, own: Rates) -> Decimal:
    """Return what selling at a price costs: its share, and the fee of each sale."""
    return price * own.fee_share / 100 + own.fixed_fee


def _mean_price(floor: ShopFloor, pieces: Iterable[Piece], pattern: Pattern) -> tuple[Decimal | None, int]:
    """Return the mean price of a batch's finished pieces, nothing where one has none; and how many of them are sold."""
    full, own = asked(floor, pattern), rates(floor)
    prices: list[Decimal | None] = []
    sold = 0
    for piece in pieces:
        if piece.outcome is None or piece.outcome.finished:
            order = order_of_piece(floor, piece)
            sold += order is not None and order.state is OrderState.DONE
            if order is not None and order.price is not None and order.currency == own.currency:
                prices.append(Decimal(order.price))
            elif full is not None and (piece.second if piece.outcome is None else piece.outcome is Outcome.SECOND):
                prices.append(full * own.second_share / 100)
            else:
                prices.append(full)
    known = [price for price in prices if price is not None]
    return (sum(known, Decimal(0)) / len(known) if known and len(known) == len(prices) else None), sold


def price_range(
    floor: ShopFloor, told: Forecast, pattern: Pattern, over: Overhead, share: tuple[float, ...] = (0.1, 0.5, 0.8, 0.95)
) -> dict[float, Decimal]:
    """Return the lowest prices that pay in these shares of draws, without tax.

    A share in which some draws finish nothing is left out.
    """
    import numpy as np

    own, items = rates(floor), one_currency(floor, costs_of(floor, pattern))
    minutes, finished = told.total_min, told.finished
    hour, batch, blank = float(own.hour + over.hour), *_bought(items, own)
    spent = minutes / 60 * hour + batch + blank * told.job.pieces
    each = np.divide(spent, finished, out=np.full(spent.size, np.inf), where=finished > 0)
    by_price = np.argsort(each, kind="stable")
    found = {}
    for one in share:
        draw = int(by_price[max(0, int(np.ceil(one * each.size)) - 1)])
        if finished[draw] > 0:
            made = MadeBatch(told.job.pieces, int(finished[draw]), Decimal(repr(float(minutes[draw]))), Decimal(0))
            found[one] = lowest_price(piece_cost(made, items, own, over), own)
    return found


def made_median(told: Forecast) -> MadeBatch:
    """Return a batch to come in the middle of its draws, as costs read it."""
    minutes, finished = Decimal(repr(at(told.total_min, EVEN))), int(at(told.finished, EVEN))
    return MadeBatch(told.job.pieces, finished, minutes, Decimal(0))


def _bought(items: list[CostItem], own: Rates) -> tuple[float, float]:
    """Return what is paid for a batch and for a blank; only draws are put in order by it.

    A fee for each piece is no part of it: what was lost isn't sold, and to each that is sold it adds the same.
    """
    batch = sum(paid(item, own) for item in items if item.per is Per.BATCH)
    blank = sum(paid(item, own) for item in items if item.per is Per.PIECE and item.kind is not CostKind.FEE)
    return float(batch), float(blank)


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
    return hours_before(history_of(floor, reading.reads, now_us), batch.id, own.price, items, rates(floor), over)


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
        closed = [batch for batch in reading.floor.all(Batch) if batch.closed_us is not None]
        closed.sort(key=lambda batch: (batch.pattern_id, batch.closed_us or 0, batch.id))
        told = [_batch(reading, batch, over, manner) for batch in closed]
        known = tuple(one for one in told if one is not None)
        return EarnedTold(known, len(told) - len(known))


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
    told = told_before(ShopEstimates(history), done, DRAWS) if done is not None else None
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
