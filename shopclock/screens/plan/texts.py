"""Costs of a piece in words and as bars."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.money.pattern_costs import PARTS
from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import counted
from shopclock.views.bars_picture import BarRow, BarsPicture, Fill

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from shopclock.analysis.money.pattern_costs import BatchCost, Cost, PatternCost
    from shopclock.screens.plan.planning import Planning

FILLS = (
    Fill("dye"), Fill("bronze", "lines"), Fill("purple", "cross"), Fill("straw", "dots"), Fill("quiet"),
    Fill("green", "lines"), Fill("red", "cross"),
)  # fmt: skip
"""Fills of the parts of a cost, in their order: told by shape beside the colour."""
NAMED = 2
ASKED = Fill("quiet", "dots")


def costs_said(found: Sequence[PatternCost]) -> str:
    """Say which patterns cost more than is asked: two by their names, more by their number."""
    shares = {one.name: share for one in found if (share := cost_share(one)) is not None}
    above = [name for name, share in shares.items() if share > 1]
    if not shares:
        return "No price is asked yet"
    if not above:
        return "No pattern costs more than is asked"
    if len(above) > NAMED:
        return f"{len(above)} of {len(found)} patterns cost more than is asked"
    return f"{' and '.join(above)} {'costs' if len(above) == 1 else 'cost'} more than is asked"


def cost_said(stack: Planning, found: PatternCost) -> str:
    """Say it: Paring 95 costs EUR 71.20; asked EUR 125.00, EUR 48.00 an hour."""
    total = stack.money(found.cost.total, rates(stack.floor).currency)
    return f"{found.name} costs {total}; {_price_said(stack, found.cost)}"


def parts_said(stack: Planning, found: PatternCost) -> str:
    """Say what it is made of: Labour 42.10, material 16.70, …; nothing where it costs nothing yet."""
    rounded = found.cost.rounded(rates(stack.floor).currency)
    said = ", ".join(f"{name} {_bare(stack, value)}" for name, value in zip(PARTS, rounded, strict=True) if value)
    return f"{said[0].upper()}{said[1:]}." if said else ""


def _price_said(stack: Planning, cost: Cost) -> str:
    own = rates(stack.floor).currency
    if cost.price is None:
        return "nothing is asked yet."
    hour = f", {stack.money(cost.hour, own)} an hour" if cost.hour is not None else ""
    return f"asked {stack.money(cost.price, own)}{hour}."


def beside(stack: Planning, found: PatternCost) -> str:
    """Say both in short: costs EUR 71.20, asked EUR 125.00."""
    own, price = rates(stack.floor).currency, found.cost.price
    asked = f"asked {stack.money(price, own)}" if price is not None else "nothing asked yet"
    return f"costs {stack.money(found.cost.total, own)}, {asked}"


def cost_share(found: PatternCost) -> float | None:
    """Return the cost as a share of the price that is asked, the bar on its tile; nothing where none is asked."""
    price = found.cost.price
    return float(found.cost.total / price) if price else None


def cost_bars(stack: Planning, found: PatternCost) -> BarsPicture:
    """Draw the cost in its parts over the price, then each closed batch; what was sold says what it earned."""
    own = rates(stack.floor).currency
    price = found.cost.price
    now = BarRow(
        f"last {found.over}",
        _parts(found.cost),
        stack.money(found.cost.total, own),
        second=((ASKED, float(price)),) if price is not None else (),
        second_number=f"asked {stack.money(price, own)}" if price is not None else "",
    )
    rows = [BarRow(one.name, _parts(one.cost), _batch_said(stack, one)) for one in found.batches]
    legend = [*zip(FILLS, PARTS, strict=True), *([(ASKED, "asked")] if price is not None else [])]
    return BarsPicture(f"By {counted(stack.floor, 'batch', len(found.batches))}", tuple(legend), (now, *rows))


def _parts(cost: Cost) -> tuple[tuple[Fill, float], ...]:
    return tuple((fill, float(value)) for fill, value in zip(FILLS, cost.parts, strict=True))


def _batch_said(stack: Planning, one: BatchCost) -> str:
    """Say what a piece of a batch cost, and what an hour of it earned: sold, or as it is asked for."""
    own = rates(stack.floor).currency
    total = stack.money(one.cost.total, own)
    if one.cost.hour is None:
        return total
    sold = "earned" if one.sold == one.finished else "would earn"
    if 0 < one.sold < one.finished:
        sold = f"{one.sold} of {one.finished} sold, at"
    return f"{total}, {sold} {stack.money(one.cost.hour, own)} an hour"


def _bare(stack: Planning, value: Decimal) -> str:
    """Say an amount without its currency, which the sentence has said."""
    own = rates(stack.floor).currency
    return stack.money(value, own).replace(own, "").strip("\u00a0 ")
