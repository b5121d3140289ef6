"""The order of a batch's steps: what comes before what."""

from collections import defaultdict
from collections.abc import Mapping, Sequence

from shopclock.shop.state.shop_floor import Memo, ShopFloor
from shopclock.shop.values.entities import Batch, OrderRule, RouteStep, Step, StepPlan
from shopclock.shop.values.kinds import RuleKind, StepState


class StepOrder:
    """Strands and the rules that join them.

    Steps of one strand follow each other. A step's `earlier` steps are those before it in its
    strand and, by *before* rules, those of other strands that must be done first, with their own
    earlier ones.
    """

    def __init__(self, floor: ShopFloor, batch_id: int) -> None:
        self.steps = floor.steps(batch_id)
        self.timed = tuple(s for s in self.steps if s.state is StepState.TIMED)
        self.strands = tuple(dict.fromkeys(step.strand for step in self.timed))
        firsts = _firsts(floor, floor.get(Batch, batch_id), self.steps)
        self.earlier = {step.id: _earlier(step, self.steps, firsts) for step in self.steps}
        timed = {step.id for step in self.timed}
        self.needed = {step.id: self.earlier[step.id] & timed for step in self.steps}

    def next_in_strand(self, step: Step) -> Step | None:
        """Return the timed step that follows in the same strand, or nothing at its end."""
        after = (s for s in self.timed if s.strand == step.strand and s.position > step.position)
        return next(after, None)

    def in_the_way(self, step: Step, other_id: int | None) -> bool:
        """Tell whether a piece at one step can't be at another: same strand, or one needs the other.

        A blade in the oven doesn't keep its scales from being sawn.
        """
        other = next((s for s in self.steps if s.id == other_id), None)
        if other is None:
            return False
        return other.strand == step.strand or other.id in self.earlier[step.id] or step.id in self.earlier[other.id]


def order_of(floor: ShopFloor, batch_id: int) -> StepOrder:
    """Return the order of a batch's steps, worked out once until its steps change."""
    found = floor.memo(_ORDERS)
    if batch_id not in found:
        found[batch_id] = StepOrder(floor, batch_id)
    return found[batch_id]


_ORDERS: Memo[int, StepOrder] = Memo(Step, OrderRule)


def _firsts(floor: ShopFloor, batch: Batch, steps: tuple[Step, ...]) -> dict[int, set[int]]:
    """Return, for each step, the steps that a *before* rule asks for first."""
    by_route = {s.route_step_id: s.id for s in steps if s.route_step_id is not None}
    firsts: dict[int, set[int]] = defaultdict(set)
    for rule in floor.all(OrderRule):
        if rule.route_id == batch.route_id and rule.kind is RuleKind.BEFORE:
            first, then = by_route.get(rule.first_step_id), by_route.get(rule.then_step_id)
            if first is not None and then is not None:
                firsts[then].add(first)
    return firsts


def _earlier(step: StepPlan, steps: Sequence[StepPlan], firsts: dict[int, set[int]]) -> frozenset[int]:
    found: set[int] = set()
    ahead = [step]
    while ahead:
        here = ahead.pop()
        for other in steps:
            before = other.strand == here.strand and other.position < here.position
            if (before or other.id in firsts[here.id]) and other.id not in found:
                found.add(other.id)
                ahead.append(other)
    return frozenset(found - {step.id})


def earlier_in_route(floor: ShopFloor, route_id: int) -> dict[int, frozenset[int]]:
    """Return, for each step of a route, the steps that come before it: the order that a new batch will have."""
    steps = tuple(step for step in floor.all(RouteStep) if step.route_id == route_id)
    firsts: dict[int, set[int]] = defaultdict(set)
    for rule in floor.all(OrderRule):
        if rule.route_id == route_id and rule.kind is RuleKind.BEFORE:
            firsts[rule.then_step_id].add(rule.first_step_id)
    return {step.id: _earlier(step, steps, firsts) for step in steps}


def circle(earlier: Mapping[int, frozenset[int]]) -> tuple[int, int] | None:
    """Return two steps that each come before the other, by rules that go round in a circle; nothing without one."""
    found = ((a, b) for a, before in earlier.items() for b in before if a in earlier.get(b, frozenset()))
    return next(found, None)
