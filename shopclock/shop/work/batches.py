"""A batch from its start to its close."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Interval, Pattern, Piece, RouteStep, Shop, Step, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import MarkedBy, Outcome, StepState
from shopclock.shop.work.begin import end
from shopclock.shop.work.piece_progress import order_of, through
from shopclock.shop.work.pieces import add_pieces, end_piece

MOST_PIECES = 60


def start_batch(
    tx: Transaction,
    pattern: Pattern,
    n: int,
    name: str,
    first_timed: RouteStep | None = None,
    elsewhere: Mapping[int, RouteStep | None] | None = None,
) -> Batch:
    """Start a batch of n pieces on the newest version of the pattern's route.

    For a batch already begun, `first_timed` is the step where its pieces stand, `elsewhere` where those stand that are
    at another one (nothing: at the first), by their place from 0 on. Steps before all of them are not timed; a piece
    that is further than others is marked as through before its time.
    """
    if not 1 <= n <= MOST_PIECES:
        raise Refusal(f"A batch has 1 to {MOST_PIECES} pieces. No batch was made.")
    route = newest_route(tx.floor, pattern)
    batch = tx.add(Batch(name=name, pattern_id=pattern.id, route_id=route.id, started_us=tx.now_us))
    for step in route_steps(tx.floor, route):
        tx.add(step.in_batch(batch.id))
    pieces = add_pieces(tx, batch, n)
    places = dict.fromkeys(range(n), first_timed) | dict(elsewhere or {})
    _leave_untimed(tx, batch, [(pieces[place], step) for place, step in sorted(places.items())])
    return batch


def _leave_untimed(tx: Transaction, batch: Batch, stands: Sequence[tuple[Piece, RouteStep | None]]) -> None:
    """Leave the steps before where the pieces stand untimed: those before all, and for a piece those before its own."""
    order = order_of(tx.floor, batch.id)
    own = {step.route_step_id: step.id for step in order.steps}
    before = {piece: order.earlier[own[at.id]] if at is not None else frozenset[int]() for piece, at in stands}
    of_all = frozenset.intersection(*before.values())
    for step in order.steps:
        if step.id in of_all:
            tx.change(replace(tx.current(step), state=StepState.NOT_TIMED))
        for piece in (piece for piece, steps in before.items() if step.id in steps - of_all):
            tx.add(Tally(step_id=step.id, piece_id=piece.id, at_us=tx.now_us, how=MarkedBy.BEFORE))


def batch_name(floor: ShopFloor, now_us: int) -> str:
    """Name the next batch by year and number: 26-11. The number is the first one free."""
    zone = next((shop.zone for shop in floor.all(Shop)), "UTC")
    year = f"{datetime.fromtimestamp(now_us / 1e6, ZoneInfo(zone)):%y}"
    taken = [b.name for b in floor.all(Batch) if b.name.startswith(f"{year}-")]
    numbers = [int(tail) for name in taken if (tail := name[3:]).isdigit()]
    return f"{year}-{max(numbers, default=0) + 1:02d}"


def set_state(tx: Transaction, step: Step, state: StepState) -> Step:
    """Time, skip or leave untimed a step of a batch; what runs there has to be stopped first."""
    if any(i.step_id == step.id for i in tx.floor.running.values()):
        raise Refusal(f"{step.name} is running. Stop it first; nothing was changed.")
    return tx.change(replace(tx.current(step), state=state))


def close_batch(tx: Transaction, batch: Batch, outcomes: dict[int, Outcome], next_time: str) -> Batch:
    """Close a batch: what runs ends, each living piece gets its outcome (finished, or second).

    `outcomes` are by piece number; `next_time` is one line for the next batch of the pattern. It is closed now, but not
    before the work that is known of it has ended: another bench's clock may be ahead of this one's.
    """
    for interval in [i for i in tx.floor.running.values() if i.batch_id == batch.id]:
        end(tx, interval)
    at_us = max([tx.now_us, *(i.end_us for i in tx.floor.of_batch(Interval, batch.id) if i.end_us is not None)])
    for piece in tx.floor.living(batch.id):
        plain = Outcome.SECOND if piece.second else Outcome.FINISHED
        tx.change(replace(tx.current(piece), outcome=outcomes.get(piece.id, plain), set_aside=False, ended_us=at_us))
    return tx.change(replace(tx.current(batch), closed_us=at_us, next_time=next_time.strip()))


def not_through(floor: ShopFloor, batch: Batch) -> dict[Piece, tuple[Step, ...]]:
    """Return the living pieces that have timed steps left, with these steps."""
    order, reached = order_of(floor, batch.id), through(floor, batch.id)
    left = {
        piece: tuple(step for step in order.timed if piece.id not in reached[step.id])
        for piece in floor.living(batch.id)
    }
    return {piece: steps for piece, steps in left.items() if steps}


def last_next_time(floor: ShopFloor, pattern: Pattern) -> str:
    """Return what the last closed batch of a pattern asked for the next time."""
    closed = [b for b in floor.all(Batch) if b.pattern_id == pattern.id and b.closed_us]
    newest = max(closed, key=lambda b: b.closed_us or 0, default=None)
    return newest.next_time if newest is not None else ""


@dataclass(frozen=True, slots=True)
class Ending:
    """End of a piece; of a lost one with the step where it happened and why."""

    outcome: Outcome
    step: Step | None = None
    reason: str = ""


def close_with(tx: Transaction, batch: Batch, endings: Mapping[int, Ending], next_time: str) -> Batch:
    """Close a batch with these endings by piece number; the other living pieces are finished (or second)."""
    plain: dict[int, Outcome] = {}
    for number, ending in endings.items():
        if ending.outcome is Outcome.SCRAPPED:
            end_piece(tx, tx.floor.get(Piece, number), Outcome.SCRAPPED, ending.step, ending.reason)
        else:
            plain[number] = ending.outcome
    return close_batch(tx, batch, plain, next_time)
