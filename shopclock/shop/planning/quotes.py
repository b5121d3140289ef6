"""Quotes that went out: each with a number, the day it was made, and the day until which it stands."""

from datetime import date, timedelta

from shopclock.shop.state import settings
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import CustomerOrder, Quote
from shopclock.shop.values.errors import Refusal


def issue(tx: Transaction, order: CustomerOrder) -> Quote:
    """Note a quote for an order as it is now; refused where it has no price. Numbers go on within a year: 2026-007."""
    order = tx.current(order)
    if order.price is None:
        raise Refusal(f"The order of {order.who} has no price yet. Nothing was written; press Price first.")
    today = shop_time(tx.now_us, zone_of(tx.floor)).date()
    until = today + timedelta(days=settings.value(tx.floor, settings.QUOTE_DAYS))
    return tx.add(
        Quote(
            order_id=order.id,
            number=next_number(tx.floor, today.year),
            at_us=tx.now_us,
            until=until.isoformat(),
            price=order.price,
            currency=order.currency,
            promised=order.promised,
        )
    )


def next_number(floor: ShopFloor, year: int) -> str:
    """Return the number of the next quote of a year: 2026-007."""
    given = [quote.number for quote in floor.all(Quote) if quote.number.startswith(f"{year}-")]
    last = max((int(number[5:]) for number in given if number[5:].isdecimal()), default=0)
    return f"{year}-{last + 1:03d}"


def newest_quote(floor: ShopFloor, order: CustomerOrder) -> Quote | None:
    """Return the quote that went out last for an order, where it still says what the order says."""
    own = [quote for quote in floor.all(Quote) if quote.order_id == order.id]
    found = max(own, key=lambda quote: quote.id, default=None)
    if found is None or (found.price, found.currency, found.promised) != (order.price, order.currency, order.promised):
        return None
    return found


def stands_until(quote: Quote) -> date:
    """Return the last day on which a quote stands."""
    return date.fromisoformat(quote.until)
