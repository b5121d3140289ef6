"""Where the pieces stand: who is through a step, what holds them, what is ready."""

from collections import defaultdict
from dataclasses import dataclass

from shopclock.shop.routes.cure import cure_us
from shopclock.shop.state.continuation import last_since_us
from shopclock.shop.state.shop_floor import Memo, ShopFloor
from shopclock.shop.values.entities import Interval, Step, Tally
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work.step_order import StepOrder, order_of

Through = dict[int, frozenset[int]]
"""For each step of a batch, the pieces that are through it."""


@dataclass(frozen=True, slots=True)
class Ready:
    """A step that pieces can start now, and which."""

    step: Step
    pieces: tuple[int, ...]


def through(floor: ShopFloor, batch_id: int) -> Through:
    """Return who is through which step.

    A piece is through a step when it was marked so there, when it was marked or worked at a later
    step, or when it ended finished or second. Setting up or doing again says nothing of it.
    """
    found = floor.memo(_THROUGH)
    if batch_id not in found:
        found[batch_id] = _through(floor, batch_id, order_of(floor, batch_id))
    return found[batch_id]


_THROUGH: Memo[int, Through] = Memo()


def _through(floor: ShopFloor, batch_id: int, order: StepOrder) -> Through:
    marked: dict[int, set[int]] = {step.id: set() for step in order.steps}
    for tally in floor.of_batch(Tally, batch_id):
        marked[tally.step_id].add(tally.piece_id)
    worked = {step_id: set(pieces) for step_id, pieces in marked.items()}
    for interval in floor.of_batch(Interval, batch_id):
        if interval.step_id is not None and interval.work is WorkKind.RUN:
            worked[interval.step_id].update(interval.pieces)
    finished = {p.id for p in floor.pieces(batch_id) if p.outcome and p.outcome.finished}
    reached = {step_id: pieces | finished for step_id, pieces in marked.items()}
    for later, pieces in worked.items():
        for step_id in order.earlier[later]:
            reached[step_id] |= pieces
    return {step_id: frozenset(pieces) for step_id, pieces in reached.items()}


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


def ready(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[Ready, ...]:
    """Return, in the order of the route, the steps that living pieces can start now, and which."""
    order, reached = order_of(floor, batch_id), through(floor, batch_id)
    waited = _waited(floor, batch_id, now_us)
    kept = {step.id: held_from(floor, step, now_us) for step in order.timed}
    found: dict[int, list[int]] = defaultdict(list)
    for piece in floor.living(batch_id):
        for strand in order.strands if not piece.set_aside else ():
            step = _first_left(order, reached, strand, piece.id, waited[piece.id])
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


def _first_left(order: StepOrder, reached: Through, strand: str, piece_id: int, waited: set[int | None]) -> Step | None:
    return next(
        (
            step
            for step in order.timed
            if step.strand == strand and piece_id not in reached[step.id] and step.id not in waited
        ),
        None,
    )


def _needed(order: StepOrder, reached: Through, step: Step, piece_id: int) -> set[int | None]:
    return {first for first in order.needed[step.id] if piece_id not in reached[first]}


def eligible(floor: ShopFloor, step: Step, now_us: int) -> tuple[int, ...]:
    """Return the pieces that a step starts with.

    Living pieces not through it, not set aside and not in a wait that keeps them from it. Of these
    the ones that have done what comes before, what runs with them now included; where nobody has,
    all of them: the maker skips ahead.
    """
    return come_so_far(floor, step, now_us) or _free(floor, step, now_us)


def come_so_far(floor: ShopFloor, step: Step, now_us: int) -> tuple[int, ...]:
    """Return the free pieces that have done what comes before a step, or are just at it."""
    order, reached = order_of(floor, step.batch_id), through(floor, step.batch_id)
    waited = _waited(floor, step.batch_id, now_us)
    return tuple(
        piece_id
        for piece_id in _free(floor, step, now_us)
        if _needed(order, reached, step, piece_id) <= waited[piece_id] | _in_hand(floor, piece_id)
    )


def _free(floor: ShopFloor, step: Step, now_us: int) -> tuple[int, ...]:
    """Return the living pieces with this step ahead of them that nothing keeps from it."""
    reached, kept = through(floor, step.batch_id)[step.id], held_from(floor, step, now_us)
    return tuple(
        piece.id
        for piece in floor.living(step.batch_id)
        if not piece.set_aside and piece.id not in reached and piece.id not in kept
    )


def _in_hand(floor: ShopFloor, piece_id: int) -> set[int | None]:
    """Return the steps that run with this piece: starting the next one ends them for it."""
    return {
        interval.step_id
        for interval in floor.running.values()
        if interval.kind.attended and piece_id in interval.pieces
    }
