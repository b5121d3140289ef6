"""What the shop's batches cost and earned, and what the next one will: the record's figures in money."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import EVEN, at
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
from shopclock.shop.planning.orders import order_of_piece
from shopclock.shop.setup.costs import asked, costs_of, sent_by_batch
from shopclock.shop.setup.rates import foreign, rates
from shopclock.shop.values.entities import CostItem, CostKind, Pattern, Per
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.analysis.forecast.forecast import Forecast
    from shopclock.record.read.rows import IntervalRow
    from shopclock.shop.figures.batch_figures import BatchFigures
    from shopclock.shop.setup.rates import Rates
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Piece

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
    """What a batch cost and earned: the mean price of its pieces, without tax, and what an hour of it brought."""

    told: BatchFigures
    cost: PieceCost
    price: Decimal | None
    hour: Decimal | None

    @property
    def cost_of_all(self) -> Decimal:
        """What all its finished pieces cost, with what they carry."""
        return self.cost.total * self.told.finished

    @property
    def price_of_all(self) -> Decimal | None:
        """What all its finished pieces bring, without tax."""
        return None if self.price is None else self.price * self.told.finished


def earned(floor: ShopFloor, told: BatchFigures, over: Overhead, brought: ShopFloor | None = None) -> Earned:
    """Return what a batch earned: ordered pieces at the price of their order, the others at what is asked.

    `brought` is a floor on which the batch stands where it doesn't on the shop's own. A batch with steps that were not
    timed has no price: its minutes are a least.
    """
    if told.at_least:
        raise ShopError(f"Part of {told.batch.name} was not timed, so what it earned can't be told.")
    pattern, own = floor.get(Pattern, told.batch.pattern_id), rates(floor)
    there = brought if brought is not None else floor
    items = one_currency(floor, costs_of(floor, pattern, sent_by_batch(there, told.batch)))
    cost = piece_cost(made_of(told), items, own, over)
    price = _mean_price(floor, there.pieces(told.batch.id), pattern)
    return Earned(told, cost, price, earned_per_hour(price, cost, own) if price is not None else None)


def _mean_price(floor: ShopFloor, pieces: Iterable[Piece], pattern: Pattern) -> Decimal | None:
    """Return the mean price of a batch's finished pieces, of which there is one; nothing where one has no price."""
    own, currency = asked(floor, pattern), rates(floor).currency
    prices: list[Decimal | None] = []
    for piece in pieces:
        if piece.outcome is None or piece.outcome.finished:
            order = order_of_piece(floor, piece)
            ordered = order.price if order is not None and order.currency == currency else None
            prices.append(own if ordered is None else Decimal(ordered))
    known = [price for price in prices if price is not None]
    return sum(known, Decimal(0)) / len(known) if len(known) == len(prices) else None


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
