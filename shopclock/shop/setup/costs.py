"""Costs: the shop's own list, and what is asked for a pattern."""

from dataclasses import replace
from decimal import Decimal

from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.setup.rates import rates
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import AskedPrice, Batch, CostItem, CostKind, Pattern, Per
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, StepState
from shopclock.shop.values.money import amount, percent
from shopclock.shop.values.names import good_name

BY_TIME = (Per.MONTH, Per.YEAR)


def add_cost(
    tx: Transaction, name: str, kind: CostKind, per: Per, typed: str, *, pattern: Pattern | None = None, tax: str = "0"
) -> CostItem:
    """Note what something costs without tax, and the tax on top in percent. What is paid by the month is overhead."""
    _fits(kind, per)
    own = pattern.id if pattern is not None else None
    taken = [c.name for c in tx.floor.all(CostItem) if c.pattern_id == own]
    return tx.add(
        CostItem(
            name=good_name(name, taken),
            kind=kind,
            per=per,
            pattern_id=own,
            amount=str(amount(typed)),
            currency=rates(tx.floor).currency,
            tax=str(percent(tax)),
        )
    )


def _fits(kind: CostKind, per: Per) -> None:
    """Refuse material by the month: nobody could say which piece it went into."""
    if (kind is CostKind.OVERHEAD) != (per in BY_TIME):
        raise Refusal("What is paid by the month or the year is overhead, and only that. Nothing was changed.")


def set_amount(tx: Transaction, item: CostItem, typed: str) -> CostItem:
    """Say what something costs now; its currency becomes the shop's of now."""
    return tx.change(replace(tx.current(item), amount=str(amount(typed)), currency=rates(tx.floor).currency))


def set_tax(tx: Transaction, item: CostItem, typed: str) -> CostItem:
    """Say the tax paid on top, in percent."""
    return tx.change(replace(tx.current(item), tax=str(percent(typed))))


def put_cost_away(tx: Transaction, item: CostItem, *, away: bool) -> CostItem:
    """Take a cost out of what is reckoned, or bring it back."""
    return tx.change(replace(tx.current(item), put_away=away))


def costs_of(floor: ShopFloor, pattern: Pattern, sent: frozenset[int] | None = None) -> tuple[CostItem, ...]:
    """Return the costs that a pattern has to pay: its own and those of all, in the order of the list.

    Bought-out work that stands for a stage is paid where that is sent out: `sent` are the stages of which it is so,
    without them those of the pattern's newest route.
    """
    away = sent_by_route(floor, pattern) if sent is None else sent
    own = (c for c in floor.all(CostItem) if not c.put_away and c.pattern_id in (None, pattern.id))
    return tuple(c for c in own if c.stage_id is None or c.stage_id in away)


def sent_by_route(floor: ShopFloor, pattern: Pattern) -> frozenset[int]:
    """Return the stages that a pattern's newest route sends out."""
    steps = route_steps(floor, newest_route(floor, pattern))
    return frozenset(step.stage_id for step in steps if step.kind is Kind.AWAY)


def sent_by_batch(floor: ShopFloor, batch: Batch) -> frozenset[int]:
    """Return the stages that a batch sends out, or sent; its steps have to stand on the floor."""
    steps = floor.steps(batch.id)
    return frozenset(s.stage_id for s in steps if s.kind is Kind.AWAY and s.state is not StepState.SKIPPED)


def ask(tx: Transaction, pattern: Pattern, typed: str) -> AskedPrice | None:
    """Say what is asked for a piece of a pattern, without tax; "" nothing."""
    before = next((a for a in tx.floor.all(AskedPrice) if a.pattern_id == pattern.id), None)
    if not typed.strip():
        if before is not None:
            tx.drop(before)
        return None
    price, currency = str(amount(typed)), rates(tx.floor).currency
    if before is not None:
        return tx.change(replace(tx.current(before), price=price, currency=currency))
    return tx.add(AskedPrice(pattern_id=pattern.id, price=price, currency=currency))


def asked(floor: ShopFloor, pattern: Pattern) -> Decimal | None:
    """Return what is asked for a piece of a pattern, in the shop's currency; nothing where nothing was said."""
    found = next((a for a in floor.all(AskedPrice) if a.pattern_id == pattern.id), None)
    return Decimal(found.price) if found is not None and found.currency == rates(floor).currency else None
