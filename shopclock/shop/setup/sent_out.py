"""Work that somebody else does: which stage it takes the place of, what it costs, how many days the pieces are away."""

import re
from dataclasses import replace

from shopclock.shop.setup.costs import add_cost, set_amount
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import CostItem, CostKind, Per, Stage
from shopclock.shop.values.errors import Refusal

MOST_DAYS = 365


def price_of(floor: ShopFloor, stage_id: int, pattern_id: int) -> tuple[CostItem, ...]:
    """Return what it costs to have a stage done elsewhere, of a pattern: whether it is sent out or not."""
    own = (item for item in floor.all(CostItem) if item.stage_id == stage_id and not item.put_away)
    return tuple(item for item in own if item.pattern_id in (None, pattern_id))


def days_of(floor: ShopFloor, stage_id: int) -> int | None:
    """Return how many days pieces are away for a stage, as it was told; the longest where there are several."""
    own = (item.days for item in floor.all(CostItem) if item.stage_id == stage_id and not item.put_away)
    return max((days for days in own if days is not None), default=None)


def stands_for(tx: Transaction, item: CostItem, stage: Stage | None) -> CostItem:
    """Say which stage bought-out work takes the place of."""
    _bought(item)
    return tx.change(replace(tx.current(item), stage_id=stage.id if stage is not None else None))


def set_days(tx: Transaction, item: CostItem, typed: str) -> CostItem:
    """Say how many days, nights and all, the pieces are away; "" for not known."""
    _bought(item)
    days = typed.strip()
    if days and not (re.fullmatch(r"\d{1,3}", days, re.ASCII) and 1 <= int(days) <= MOST_DAYS):
        raise Refusal(f"{days} is no number of days from 1 to {MOST_DAYS}. Nothing was changed.")
    return tx.change(replace(tx.current(item), days=int(days) if days else None))


def price_out(tx: Transaction, stage: Stage, per: Per, typed: str, days: str) -> CostItem:
    """Note what it costs to have a stage of any pattern done elsewhere, for each piece or a batch, and for how long.

    What was noted so of it before is changed.
    """
    own = [c for c in tx.floor.all(CostItem) if c.stage_id == stage.id and c.pattern_id is None and not c.put_away]
    item = next((c for c in own if c.per is per), None)
    if item is None:
        named = f"{stage.name} sent out" + (", a batch" if per is Per.BATCH else "")
        item = stands_for(tx, add_cost(tx, named, CostKind.BOUGHT_OUT, per, typed), stage)
    else:
        item = set_amount(tx, item, typed)
    for other in own:
        if other.id != item.id:
            set_days(tx, other, days)
    return set_days(tx, item, days)


def _bought(item: CostItem) -> None:
    if item.kind is not CostKind.BOUGHT_OUT:
        raise Refusal(f"{item.name} is no bought-out work. Nothing was changed.")
