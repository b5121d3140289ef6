"""The order of a batch's steps, and where its pieces stand: who is through a step, what holds them, what is ready."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from shopclock.shop.routes.cure import cure_us
from shopclock.shop.state.shop_floor import Memo, ShopFloor, last_since_us
from shopclock.shop.values.entities import Batch, Interval, OrderRule, RouteStep, Step, StepPlan, Tally
from shopclock.shop.values.kinds import Kind, RuleKind, StepState, WorkKind

Earlier = dict[int, frozenset[int]]
"""For each step, the steps that come before it."""
Through = dict[int, frozenset[int]]
"""For each step of a batch, the pieces that are through it."""


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
        own = {step.route_step_id: step.id for step in self.steps}
        self.earlier = _earlier(floor, floor.get(Batch, batch_id).route_id, self.steps, own)
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


_ORDERS: Memo[int, StepOrder] = Memo(Step, OrderRule)
_THROUGH: Memo[int, Through] = Memo()


def order_of(floor: ShopFloor, batch_id: int) -> StepOrder:
    """Return the order of a batch's steps, worked out once until its steps change."""
    found = floor.memo(_ORDERS)
    if batch_id not in found:
        found[batch_id] = StepOrder(floor, batch_id)
    return found[batch_id]


def _earlier(floor: ShopFloor, route_id: int, steps: Sequence[StepPlan], own: Mapping[int | None, int]) -> Earlier:
    """Return what comes before each step; `own` are their numbers by that of the step in the route."""
    before = {s.id: {o.id for o in steps if o.strand == s.strand and o.position < s.position} for s in steps}
    for rule in floor.all(OrderRule):
        if rule.route_id == route_id and rule.kind is RuleKind.BEFORE:
            first, then = own.get(rule.first_step_id), own.get(rule.then_step_id)
            if first is not None and then is not None:
                before[then].add(first)
    found: Earlier = {}
    for step in steps:
        all_before, ahead = set[int](), [step.id]
        while ahead:
            new = before[ahead.pop()] - all_before
            all_before |= new
            ahead += new
        found[step.id] = frozenset(all_before - {step.id})
    return found


def earlier_in_route(floor: ShopFloor, route_id: int) -> Earlier:
    """Return, for each step of a route, the steps that come before it: the order that a new batch will have."""
    steps = [step for step in floor.all(RouteStep) if step.route_id == route_id]
    return _earlier(floor, route_id, steps, {step.id: step.id for step in steps})


def circle(earlier: Mapping[int, frozenset[int]]) -> tuple[int, int] | None:
    """Return two steps that each come before the other, by rules that go round in a circle; nothing without one."""
    found = ((a, b) for a, before in earlier.items() for b in before if a in earlier.get(b, frozenset()))
    return next(found, None)


def through(floor: ShopFloor, batch_id: int) -> Through:
    """Return who is through which step.

    A piece is through a step when it was marked so there, when it was marked or worked at a later
    step, or when it ended finished or second. Setting up or doing again says nothing of it.
    """
    known = floor.memo(_THROUGH)
    if batch_id in known:
        return known[batch_id]
    order = order_of(floor, batch_id)
    finished = {p.id for p in floor.pieces(batch_id) if p.outcome and p.outcome.finished}
    marked: dict[int, set[int]] = {step.id: set() for step in order.steps}
    for tally in floor.of_batch(Tally, batch_id):
        marked[tally.step_id].add(tally.piece_id)
    reached = {step_id: pieces | finished for step_id, pieces in marked.items()}
    for interval in floor.of_batch(Interval, batch_id):
        if interval.step_id is not None and interval.work is WorkKind.RUN:
            marked[interval.step_id].update(interval.pieces)
    for later, pieces in marked.items():
        for step_id in order.earlier[later]:
            reached[step_id] |= pieces
    known[batch_id] = {step_id: frozenset(pieces) for step_id, pieces in reached.items()}
    return known[batch_id]


def holds(floor: ShopFloor, batch_id: int) -> dict[int, list[Interval]]:
    """Return the pieces of a batch that are in a wait or away, with what holds each."""
    found: dict[int, list[Interval]] = defaultdict(list)
    for interval in floor.running.values():
        if interval.batch_id == batch_id and interval.kind in (Kind.WAIT, Kind.AWAY):
            for piece in interval.pieces:
                found[piece].append(interval)
    return found


def held_from(floor: ShopFloor, step: Step, now_us: int | None = None) -> dict[int, Interval]:
    """Return the pieces that a wait keeps from a step, with the wait.

    With an instant given, a wait that is over by then keeps nobody from the steps after it.
    """
    order = order_of(floor, step.batch_id)
    return {
        piece: interval
        for piece, intervals in holds(floor, step.batch_id).items()
        for interval in intervals
        if order.in_the_way(step, interval.step_id)
        and (now_us is None or interval.step_id == step.id or not over(floor, interval, now_us))
    }


def ready_at(floor: ShopFloor, interval: Interval) -> int | None:
    """Return the instant at which a wait is ready: its start for the last piece that came to it, and its length."""
    lasts = lasts_us(floor, interval)
    return last_since_us(floor, interval) + lasts if lasts is not None else None


def lasts_us(floor: ShopFloor, interval: Interval) -> int | None:
    """Return how long a wait lasts: its step's length, or a cure's in a shop as warm as it was told."""
    step = floor.get(Step, interval.step_id) if interval.step_id is not None else None
    if step is None or step.wait_us is None or interval.shop_c is None:
        return step.wait_us if step is not None else None
    return cure_us(step.wait_us, interval.shop_c)


def over(floor: ShopFloor, interval: Interval, now_us: int) -> bool:
    """Tell whether a wait has lasted its time; one without a length never has by itself."""
    at = ready_at(floor, interval)
    return at is not None and now_us >= at


@dataclass(frozen=True, slots=True)
class Ready:
    """A step that pieces can start now, and which."""

    step: Step
    pieces: tuple[int, ...]


def ready(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[Ready, ...]:
    """Return, in the order of the route, the steps that living pieces can start now, and which."""
    order, reached = order_of(floor, batch_id), through(floor, batch_id)
    held = [(piece, i, over(floor, i, now_us)) for piece, them in holds(floor, batch_id).items() for i in them]
    waited: dict[int, set[int | None]] = defaultdict(set)
    for piece_id, wait, is_over in held:
        if is_over:
            waited[piece_id].add(wait.step_id)
    kept = {
        step.id: {
            p for p, i, is_over in held if (i.step_id == step.id or not is_over) and order.in_the_way(step, i.step_id)
        }
        for step in order.timed
    }
    found: dict[int, list[int]] = defaultdict(list)
    for piece in floor.living(batch_id):
        ahead = [s for s in order.timed if piece.id not in reached[s.id] and s.id not in waited[piece.id]]
        for strand in order.strands if not piece.set_aside else ():
            step = next((s for s in ahead if s.strand == strand), None)
            if step is None or piece.id in kept[step.id]:
                continue
            if _needed(order, reached, step, piece.id) <= waited[piece.id]:
                found[step.id].append(piece.id)
    return tuple(Ready(step, tuple(found[step.id])) for step in order.timed if step.id in found)


def _waited(floor: ShopFloor, batch_id: int, now_us: int) -> dict[int, set[int | None]]:
    """Return, for each piece, the wait steps that it has come to the end of and is still in."""
    found: dict[int, set[int | None]] = defaultdict(set)
    for piece, intervals in holds(floor, batch_id).items():
        found[piece] = {s.step_id for s in intervals if over(floor, s, now_us)}
    return found


def _needed(order: StepOrder, reached: Through, step: Step, piece_id: int) -> set[int | None]:
    return {first for first in order.needed[step.id] if piece_id not in reached[first]}


def eligible(floor: ShopFloor, step: Step, now_us: int, others: Collection[int] = ()) -> tuple[int, ...]:
    """Return the pieces that a step starts with.

    Living pieces not through it, not set aside and not in a wait that keeps them from it. Of these
    the ones that have done what comes before, what runs with them now included; where nobody has,
    all of them: the maker skips ahead. None of `others`, in another maker's hands.
    """
    found = come_so_far(floor, step, now_us), _free(floor, step, now_us)
    return next((free for some in found if (free := tuple(p for p in some if p not in others))), ())


def come_so_far(floor: ShopFloor, step: Step, now_us: int) -> tuple[int, ...]:
    """Return the free pieces that have done what comes before a step, or are just at it.

    What runs with them now is done by then: starting the next one ends it for them.
    """
    order, reached = order_of(floor, step.batch_id), through(floor, step.batch_id)
    done = _waited(floor, step.batch_id, now_us)
    for interval in floor.running.values():
        for piece_id in interval.pieces if interval.kind.attended else ():
            done[piece_id].add(interval.step_id)
    return tuple(p for p in _free(floor, step, now_us) if _needed(order, reached, step, p) <= done[p])


def runs_by_hand(floor: ShopFloor, batch_id: int) -> bool:
    """Tell whether a clock runs by hand for a batch."""
    return any(i.batch_id == batch_id and i.kind is Kind.HANDS_ON for i in floor.running.values())


def in_hand_elsewhere(floor: ShopFloor, step: Step) -> frozenset[int]:
    """Return the pieces that somebody has under the hands at another step than the one just before this."""
    strand = [s.id for s in order_of(floor, step.batch_id).timed if s.strand == step.strand]
    at = strand.index(step.id) if step.id in strand else 0
    before = strand[at - 1] if at else None
    worked = (i for i in floor.running.values() if i.kind.attended and i.batch_id == step.batch_id)
    return frozenset(p for i in worked if i.step_id not in (before, step.id) for p in i.pieces)


def theirs(floor: ShopFloor, maker_id: int, step: Step) -> dict[int, Interval]:
    """Return the pieces that other makers have under their hands where that is in a step's way, each with its work.

    None that is done there. Who saws the scales is not in the way of the blades.
    """
    found: dict[int, Interval] = {}
    for interval in floor.running.values():
        if interval.maker_id == maker_id or not interval.kind.attended or interval.batch_id != step.batch_id:
            continue
        other = floor.get(Step, interval.step_id or 0)
        if not order_of(floor, step.batch_id).in_the_way(step, other.id):
            continue
        done = {t.piece_id for t in floor.tallies_of(other)} if interval.work is WorkKind.RUN else set()
        found.update({piece: interval for piece in interval.pieces if piece not in done})
    return found


def _free(floor: ShopFloor, step: Step, now_us: int) -> tuple[int, ...]:
    """Return the living pieces with this step ahead of them that nothing keeps from it."""
    reached, kept = through(floor, step.batch_id)[step.id], held_from(floor, step, now_us)
    return tuple(
        piece.id
        for piece in floor.living(step.batch_id)
        if not piece.set_aside and piece.id not in reached and piece.id not in kept
    )
