"""The shop's rates: what an hour should earn, what sales cost, tax. Kept among the settings as exact texts."""

from collections.abc import Callable
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any

from shopclock.shop.state.settings import store
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import CostItem
from shopclock.shop.values.money import amount, currency_code, percent, share

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class Rates:
    """Wished earnings an hour; the share (percent) and the fixed fee that a sale costs; sales tax in percent.

    `tax_back`: the tax that the shop pays on what it buys comes back to it, so that it is no cost. `second_share`: what
    a second sells for without an order, percent of the price asked.
    """

    hour: Decimal = ZERO
    fee_share: Decimal = ZERO
    fixed_fee: Decimal = ZERO
    sales_tax: Decimal = ZERO
    currency: str = "EUR"
    tax_back: bool = False
    second_share: Decimal = Decimal(100)


def _yes(typed: str) -> bool:
    return typed.strip().casefold() in {"yes", "true", "1"}


_READ: dict[str, Callable[[str], Any]] = {
    "hour": amount, "fee_share": percent, "fixed_fee": amount, "sales_tax": percent,
    "currency": currency_code, "tax_back": _yes, "second_share": share,
}  # fmt: skip


def _named(field: str) -> str:
    return f"rate {field.replace('_', ' ')}"


def rates(floor: ShopFloor) -> Rates:
    """Return the shop's rates; what was never set is zero."""
    stored = {f.name: floor.setting(_named(f.name)) for f in fields(Rates)}
    return Rates(**{name: _READ[name](text) for name, text in stored.items() if text is not None})


def set_rate(tx: Transaction, field: str, typed: str) -> Rates:
    """Set one rate as typed; the price of everything follows. Refused where it is no such figure."""
    value = _READ[field](typed)
    store(tx, _named(field), ("yes" if value else "no") if field == "tax_back" else str(value))
    return rates(tx.floor)


def foreign(floor: ShopFloor) -> tuple[CostItem, ...]:
    """Return the costs that are kept in another currency than the shop's: they can't be added to a price."""
    own = rates(floor).currency
    return tuple(c for c in floor.all(CostItem) if c.currency != own and not c.put_away)
