"""Work that somebody else does: which stages are sent out, what that costs, how many days the pieces are away."""

import re

from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Kind, StepState
from shopclock.shop.patterns import newest_route, route_steps
from shopclock.shop.planned import CostItem, CostKind
from shopclock.shop.turn import Turn
from shopclock.shop.values import Batch, Pattern, Stage

MOST_DAYS = 365


def by_route(floor: Floor, pattern: Pattern) -> frozenset[int]:
    """Return the stages that a pattern's newest route sends out."""
    steps = route_steps(floor, newest_route(floor, pattern))
    return frozenset(step.stage_id for step in steps if step.kind is Kind.AWAY)


def by_batch(floor: Floor, batch: Batch) -> frozenset[int]:
    """Return the stages that a batch sends out, or sent; its steps have to stand on the floor."""
    steps = floor.steps(batch.id)
    return frozenset(s.stage_id for s in steps if s.kind is Kind.AWAY and s.state is not StepState.SKIPPED)


def price_of(floor: Floor, stage_id: int, pattern_id: int) -> tuple[CostItem, ...]:
    """Return what it costs to have a stage done elsewhere, of a pattern: whether it is sent out or not."""
    own = (item for item in floor.all(CostItem) if item.stage_id == stage_id and not item.put_away)
    return tuple(item for item in own if item.pattern_id in (None, pattern_id))


def days_of(floor: Floor, stage_id: int) -> int | None:
    """Return how many days pieces are away for a stage, as it was told; the longest where there are several."""
    own = (item.days for item in floor.all(CostItem) if item.stage_id == stage_id and not item.put_away)
    return max((days for days in own if days is not None), default=None)


def stands_for(turn: Turn, item: CostItem, stage: Stage | None) -> CostItem:
    """Say which stage bought-out work takes the place of."""
    _bought(item)
    return turn.edit(item, stage_id=stage.id if stage is not None else None)


def set_days(turn: Turn, item: CostItem, typed: str) -> CostItem:
    """Say how many days, nights and all, the pieces are away; "" for not known."""
    _bought(item)
    days = typed.strip()
    if days and not (re.fullmatch(r"\d{1,3}", days, re.ASCII) and 1 <= int(days) <= MOST_DAYS):
        raise Refusal(f"{days} is no number of days from 1 to {MOST_DAYS}. Nothing was changed.")
    return turn.edit(item, days=int(days) if days else None)


def _bought(item: CostItem) -> None:
    if item.kind is not CostKind.BOUGHT_OUT:
        raise Refusal(f"{item.name} is no bought-out work. Nothing was changed.")
