"""Cost and earnings of a finished piece. Money is decimal throughout and rounded once, when it is shown."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING

from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import counted
from shopclock.shop.values.entities import CostItem, CostKind, Per
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.money import money_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.record.read.rows import BatchRow
    from shopclock.shop.setup.rates import Rates
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.money import Manner

ZERO, HUNDRED, SIXTY = Decimal(0), Decimal(100), Decimal(60)
NO_ADVICE = "No tax advice: what the shop owes is for its own accountant and the law of its place."


@dataclass(frozen=True, slots=True)
class Overhead:
    """Overhead of an hour at the work: money paid by the month and year, and the shop's own work at the rate."""

    money: Decimal = ZERO
    shop_time: Decimal = ZERO

    @property
    def hour(self) -> Decimal:
        """Both together."""
        return self.money + self.shop_time


def paid(item: CostItem, rates: Rates) -> Decimal:
    """Return what an item costs the shop: with the tax on top, unless that comes back."""
    amount = Decimal(item.amount)
    return amount if rates.tax_back else amount * (1 + Decimal(item.tax) / HUNDRED)


def overhead(items: Iterable[CostItem], rates: Rates, hours_a_month: Decimal, shop_hours_a_month: Decimal) -> Overhead:
    """Spread what is paid by the month and year, and the shop's own hours, over the hours at the work.

    Without such hours there is nothing to spread it over, and it is none.
    """
    if hours_a_month <= 0:
        return Overhead()
    by_time = [item for item in items if item.kind is CostKind.OVERHEAD]
    month = sum(paid(i, rates) / (1 if i.per is Per.MONTH else 12) for i in by_time)
    return Overhead(month / hours_a_month, shop_hours_a_month * rates.hour / hours_a_month)


@dataclass(frozen=True, slots=True)
class MadeBatch:
    """A batch in figures: blanks begun, pieces finished, labour on all of them and on those that didn't finish."""

    begun: int
    finished: int
    labour_min: Decimal
    carried_min: Decimal


@dataclass(frozen=True, slots=True)
class PieceCost:
    """Cost of each finished piece; `carried` is all that went into those that didn't finish, `hours` all labour.

    The parts are those of a finished piece itself. `carried_labour` is the part of `carried` that is labour.
    """

    hours: Decimal
    labour: Decimal
    material: Decimal
    consumables: Decimal
    bought_out: Decimal
    fees: Decimal
    overhead: Decimal
    carried: Decimal
    carried_labour: Decimal

    @property
    def total(self) -> Decimal:
        """All of it."""
        return self.not_labour + self.labour + self.carried_labour

    @property
    def not_labour(self) -> Decimal:
        """All that isn't labour at the rate, of the piece and of those it carries."""
        own = self.material + self.consumables + self.bought_out + self.fees + self.overhead
        return own + self.carried - self.carried_labour


def piece_cost(made: MadeBatch, items: Iterable[CostItem], rates: Rates, over: Overhead) -> PieceCost:
    """Return what a finished piece costs: labour/60 × rate, its materials, its share of the batch, overhead per hour.

    What is paid for each blank is paid for the lost ones too, and carried. No finished piece: a sentence.
    """
    if made.finished <= 0:
        raise ShopError("No piece was finished, so there is none to carry the costs.")
    f, items = Decimal(made.finished), tuple(items)
    own_hours = (made.labour_min - made.carried_min) / SIXTY / f
    lost_hours = made.carried_min / SIXTY / f
    lost_share = Decimal(made.begun - made.finished) / f
    each = {kind: _sum(items, kind, Per.PIECE, rates) for kind in CostKind}
    batch = {kind: _sum(items, kind, Per.BATCH, rates) / f for kind in CostKind}
    blanks = (each[CostKind.MATERIAL] + each[CostKind.CONSUMABLE] + each[CostKind.BOUGHT_OUT]) * lost_share
    return PieceCost(
        hours=own_hours + lost_hours,
        labour=own_hours * rates.hour,
        material=each[CostKind.MATERIAL] + batch[CostKind.MATERIAL],
        consumables=each[CostKind.CONSUMABLE] + batch[CostKind.CONSUMABLE],
        bought_out=each[CostKind.BOUGHT_OUT] + batch[CostKind.BOUGHT_OUT],
        fees=each[CostKind.FEE] + batch[CostKind.FEE],
        overhead=own_hours * over.hour,
        carried=lost_hours * (rates.hour + over.hour) + blanks,
        carried_labour=lost_hours * rates.hour,
    )


def _sum(items: Iterable[CostItem], kind: CostKind, per: Per, rates: Rates) -> Decimal:
    return sum((paid(item, rates) for item in items if item.kind is kind and item.per is per), ZERO)


def lowest_price(cost: PieceCost, rates: Rates) -> Decimal:
    """Return the lowest price that pays, without tax: (costs at the wished rate + fixed fee)/(1 − fee share)."""
    return (cost.total + rates.fixed_fee) / (1 - rates.fee_share / HUNDRED)


def with_tax(price: Decimal, rates: Rates) -> Decimal:
    """Return a price with sales tax on top."""
    return price * (1 + rates.sales_tax / HUNDRED)


def earned_per_hour(price: Decimal, cost: PieceCost, rates: Rates) -> Decimal | None:
    """Return what an hour earns: (price − fees − all that isn't labour)/hours; the price is without tax.

    Below zero, each hour costs money. Without labour there is no such figure.
    """
    if cost.hours <= 0:
        return None
    fees = price * rates.fee_share / HUNDRED + rates.fixed_fee
    return (price - fees - cost.not_labour) / cost.hours


def asked_said(price: Decimal, cost: PieceCost, rates: Rates, manner: Manner | None = None) -> str:
    """Say what is asked (`price` is without tax), what that earns an hour, and where it lies too low."""
    earned = earned_per_hour(price, cost, rates)
    told = (
        f"Asked: {money_text(with_tax(price, rates), rates.currency, manner)}{' with tax' if rates.sales_tax else ''}"
    )
    told += f", about {money_text(earned, rates.currency, manner)} an hour." if earned is not None else "."
    return told + _below(price, cost, rates)


def _below(price: Decimal, cost: PieceCost, rates: Rates) -> str:
    """Say where a price lies too low."""
    fees = price * rates.fee_share / HUNDRED + rates.fixed_fee
    if price - fees < cost.not_labour:
        return " It doesn't pay for what is bought, so each sale loses money."
    return " It is below what pays at the wished rate." if price < lowest_price(cost, rates) else ""


@dataclass(frozen=True, slots=True)
class SendOut:
    """Own work against work sent out: `from_pieces` is the batch size from which sending pays, nothing where never.

    `to_pieces`: the size up to which it pays, where own work is cheaper in large batches; nothing where no end.
    """

    from_pieces: int | None
    to_pieces: int | None


def send_out(
    own_once_min: Decimal, own_each_min: Decimal, sent_once: Decimal, sent_each: Decimal, hour: Decimal
) -> SendOut:
    """Return the batch sizes, up to a hundred, at which sending out costs no more than the own minutes at the rate."""
    own = {n: (own_once_min + own_each_min * n) * hour for n in range(1, 101)}
    paying = [n for n, minutes in own.items() if (sent_once + sent_each * n) * SIXTY <= minutes]
    if not paying:
        return SendOut(None, None)
    return SendOut(paying[0], paying[-1] if paying[-1] < 100 else None)


def tool_pays_after(price: Decimal, saved_min: Decimal, hour: Decimal) -> int | None:
    """Return the pieces after which a tool's price is earned back by the minutes it saves on each; nothing: never."""
    saved = saved_min * hour
    return int((price * SIXTY / saved).to_integral_value(ROUND_CEILING)) if saved > 0 else None


YEAR_US = 365 * 24 * 3600 * 1_000_000
NO_RATE = "No rate for an hour is set, so minutes saved are worth nothing. Set one under Costs."
NOTHING_SAVED = "It saves no minutes, so it is never earned back"


def finished_a_year(batches: Iterable[BatchRow], now_us: int) -> int:
    """Return how many pieces were finished in batches closed in the last 365 days."""
    return sum(b.finished for b in batches if b.closed_us is not None and b.closed_us > now_us - YEAR_US)


def tool_said(floor: ShopFloor, price: Decimal, saved_min: Decimal, a_year: int, manner: Manner) -> str:
    """Say after how many pieces a price is earned back by minutes saved on each, and how long so many take."""
    own = rates(floor)
    if own.hour <= 0:
        return NO_RATE
    after = tool_pays_after(price, saved_min, own.hour)
    if after is None:
        return NOTHING_SAVED
    each = money_text(saved_min * own.hour / 60, own.currency, manner)
    told = f"Earned back after {counted(floor, 'piece', after)}, at {each} each"
    return f"{told}; {_how_long(after, a_year)}" if a_year else told


def _how_long(after: int, a_year: int) -> str:
    """Say how long that is at the last twelve months' rate."""
    months = Decimal(after) / a_year * 12
    if months > 36:
        return f"about {round(months / 12)} years as you work now"
    n = max(1, round(months))
    return f"about {n} {'month' if n == 1 else 'months'} as you work now"
