"""After how many pieces a tool has earned its price back by the minutes it saves, and when that is."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from shopclock.analysis.money.cost import tool_pays_after
from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import counted
from shopclock.shop.values.money import money_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.record.read.rows import BatchRow
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.money import Manner

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
