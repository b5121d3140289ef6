"""A stage done elsewhere: what it costs, whose minutes it saves, and from which batch size on it pays."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import EVEN, at
from shopclock.analysis.money.cost import SendOut, paid, send_out
from shopclock.shop.setup.rates import rates
from shopclock.shop.setup.sent_out import price_of
from shopclock.shop.state.wording import MINUTE_US, counted, length_text
from shopclock.shop.values.entities import Per
from shopclock.shop.values.money import money_text

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.analysis.plan.plan import Plan
    from shopclock.shop.setup.rates import Rates
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import CostItem
    from shopclock.shop.values.money import Manner

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class SentOutTold:
    """What is paid for it, and what it saves of the own work; from which batch size on it pays."""

    price: str
    work: str


def sent_out_told(floor: ShopFloor, found: Plan, stage_id: int, manner: Manner) -> SentOutTold:
    """Say what sending a stage out costs and saves for all batches of a plan that have it still to do."""
    pattern = next(b.pattern_id for b in reversed(found.batches) if any(s.stage_id == stage_id for s in b.steps))
    items, own = price_of(floor, stage_id, pattern), rates(floor)
    saved = f"{length_text(round(own_minutes(found, stage_id) * MINUTE_US))} less work"
    if not items:
        return SentOutTold("no price yet", saved)
    once, each = (_sum(items, per, own) for per in (Per.BATCH, Per.PIECE))
    parts = [(each, "each"), (once, "a batch")]
    price = " and ".join(f"{money_text(money, own.currency, manner)} {per}" for money, per in parts if money)
    return SentOutTold(price or "for nothing", f"{saved}; {_pays(floor, found, stage_id, (once, each), own)}")


def own_minutes(found: Plan, stage_id: int) -> float:
    """Return the labour that a stage still takes in all batches of a plan, in the middle of the draws."""
    stage_of = {(i, step.step_id): step.stage_id for i, batch in enumerate(found.batches) for step in batch.steps}
    own = [t.labour for t in found.tasks if t.labour is not None and stage_of[t.batch, t.step_id] == stage_id]
    return at(sum(own[1:], own[0]), EVEN) if own else 0.0


def _sum(items: Iterable[CostItem], per: Per, own: Rates) -> Decimal:
    return sum((paid(item, own) for item in items if item.per is per and item.currency == own.currency), ZERO)


def _pays(floor: ShopFloor, found: Plan, stage_id: int, sent: tuple[Decimal, Decimal], own: Rates) -> str:
    """Say from which batch size on sending out costs no more than the own minutes, at the rate that is wished."""
    if not own.hour:
        return "no rate for an hour is set"
    stages = (s for told in reversed(found.forecasts) for s in told.stages if s.job.stage_id == stage_id)
    stage = next(stages)
    pays = send_out(Decimal(str(stage.once_min)), Decimal(str(stage.piece_min)), *sent, own.hour)
    return pays_text(floor, pays)


def pays_text(floor: ShopFloor, pays: SendOut) -> str:
    """Say it: pays from 4 blades a batch; pays up to 6; never pays."""
    if pays.from_pieces is None:
        return "never pays at your rate"
    if pays.to_pieces is not None and pays.from_pieces > 1:
        return f"pays from {pays.from_pieces} to {counted(floor, 'piece', pays.to_pieces)} a batch"
    if pays.to_pieces is not None:
        return f"pays up to {counted(floor, 'piece', pays.to_pieces)} a batch"
    if pays.from_pieces == 1:
        return "pays at any size"
    return f"pays from {counted(floor, 'piece', pays.from_pieces)} a batch"
