"""Getting pieces through a step: one done, next, all through, out of the wait."""

from collections.abc import Iterable, Sequence
from typing import Any

from shopclock.shop.begin import begin, begin_by_itself, step_of, still_there, warn_waiting
from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import How, Kind, Work
from shopclock.shop.loads import fits, lasted, one_load, room, stopping
from shopclock.shop.marks import spoken
from shopclock.shop.order import order_of
from shopclock.shop.standing import come_so_far, eligible, through
from shopclock.shop.stretch import end, split
from shopclock.shop.turn import Turn
from shopclock.shop.values import Interval, Piece, Step, Tally


def next_done(floor: Floor, interval: Interval) -> Piece | None:
    """Return the piece that *Done* would mark: the first one covered that isn't done yet."""
    if interval.step_id is None:
        return None
    step = floor.get(Step, interval.step_id)
    done = {t.piece_id for t in floor.tallies_of(step)}
    if interval.work is Work.REWORK:
        done = {t.piece_id for t in floor.hands.done_in(interval)}
    return next((floor.get(Piece, p) for p in interval.pieces if p not in done), None)


def one_done(turn: Turn, interval: Interval, piece: Piece | None = None) -> Piece:
    """Mark one piece as done at the running step; set-up ends by itself."""
    found = piece if piece is not None else next_done(turn.floor, interval)
    if found is None or interval.step_id is None:
        raise Refusal("Every piece in hand is done already. Nothing was changed.")
    step = turn.floor.get(Step, interval.step_id)
    _mark(turn, step, (found.id,), How.DONE, interval)
    if interval.work is Work.SETUP:
        split(turn, interval, work=Work.RUN)
    _begin_waits(turn, step, (found.id,))
    return found


def go_on(turn: Turn, interval: Interval, chosen: Sequence[int] | None = None) -> Interval | None:
    """*Next*: the pieces in hand are through; the step that follows begins with them.

    Those that have come so far before them come along: done one by one, or left there the last
    time. Of what was stopped, the pieces in hand are those that could be taken up again, or those
    chosen. Returns what began, or nothing at the end of the route.
    """
    if interval.step_id is None:
        raise Refusal("Shop work has no next step. Nothing was changed.")
    step = turn.floor.get(Step, interval.step_id)
    pieces = interval.pieces if interval.running else tuple(chosen or still_there(turn.floor, interval))
    all_through(turn, step, pieces, How.NEXT)
    end_if_running(turn, interval)
    following = next_step(turn.floor, step, pieces)
    if following is None:
        return None
    already = [i for i in turn.floor.running.values() if i.step_id == following.id]
    there = {piece for i in already for piece in i.pieces}
    joining = come_so_far(turn.floor, following, turn.now_us)
    ahead = dict.fromkeys((*_not_through(turn.floor, following, pieces), *joining))
    left = [piece for piece in ahead if piece not in there]
    if left and not _room_now(turn, following, left):
        warn_waiting(turn, following, left)
        return None
    return put_in(turn, following, left) if left or not already else already[0]


def put_in(turn: Turn, step: Step, pieces: Sequence[int] | None = None, **how: Any) -> Interval:
    """Start a step as `begin` does; what has lasted its time in its tool comes out first, where they need the room."""
    wanted = tuple(pieces) if pieces is not None else eligible(turn.floor, step, turn.now_us)
    leaving = frozenset() if how.get("together") else stopping(turn.floor, turn.maker_id, step)
    going = room(turn.floor, step, wanted, leaving, turn.now_us)
    for interval in lasted(turn.floor, step, turn.now_us):
        if len(fits(turn.floor, step, wanted, leaving)) < len(going) and not set(interval.pieces) & set(wanted):
            out(turn, interval)
            turn.warnings.append(_came_out(turn.floor, interval))
    return begin(turn, step, wanted, **how)


def _room_now(turn: Turn, step: Step, pieces: Sequence[int]) -> tuple[int, ...]:
    return room(turn.floor, step, pieces, stopping(turn.floor, turn.maker_id, step), turn.now_us)


def _came_out(floor: Floor, interval: Interval) -> str:
    step = step_of(floor, interval)
    return f"{spoken(floor.marks(interval.pieces))} came out of {step.name if step is not None else 'it'}."


def next_step(floor: Floor, step: Step, pieces: Iterable[int]) -> Step | None:
    """Return the step that *Next* would start for these pieces, or nothing when all is done.

    It is the one that follows in the strand. Where that has to wait for another strand (scales
    before glue-up), or the strand has ended, it is the first one that is open to them.
    """
    order, wanted = order_of(floor, step.batch_id), tuple(pieces)
    following = order.next_in_strand(step)
    while following is not None and not _not_through(floor, following, wanted):
        following = order.next_in_strand(following)
    if following is not None and _is_open(floor, step, following, wanted):
        return following
    blocking = order.earlier[following.id] if following is not None else {s.id for s in order.timed}
    ahead = (
        other
        for other in order.timed
        if other.id in blocking
        and other.id != step.id
        and _not_begun(floor, other, wanted)
        and _is_open(floor, step, other, wanted)
    )
    return next(ahead, following)


def _is_open(floor: Floor, from_step: Step, step: Step, pieces: tuple[int, ...]) -> bool:
    """Tell whether a step asks for nothing more than the step that they come from."""
    reached = through(floor, step.batch_id)
    needed = order_of(floor, step.batch_id).needed[step.id] - {from_step.id}
    left = _not_through(floor, step, pieces)
    return all(piece in reached[first] for first in needed for piece in left)


def _not_begun(floor: Floor, step: Step, pieces: Iterable[int]) -> tuple[int, ...]:
    """Return the pieces that are neither through a step nor at it now."""
    at_it = {piece for i in floor.running.values() if i.step_id == step.id for piece in i.pieces}
    return tuple(piece for piece in _not_through(floor, step, pieces) if piece not in at_it)


def _not_through(floor: Floor, step: Step, pieces: Iterable[int]) -> tuple[int, ...]:
    reached = through(floor, step.batch_id)[step.id]
    return tuple(p for p in pieces if p not in reached and floor.get(Piece, p).living)


def all_through(turn: Turn, step: Step, pieces: Sequence[int], how: How = How.ALL) -> None:
    """Mark these pieces as through a step, worked or not."""
    reached = {t.piece_id for t in turn.floor.tallies_of(step)}
    _mark(turn, step, [p for p in pieces if p not in reached], how, None)
    _begin_waits(turn, step, pieces)


def out(turn: Turn, interval: Interval) -> None:
    """*Out*: end a wait, or bring back what was away; its pieces are through it."""
    step = step_of(turn.floor, interval)
    end_if_running(turn, interval)
    if step is not None:
        all_through(turn, step, interval.pieces)


def load_out(turn: Turn, interval: Interval) -> None:
    """*Out* of a whole load: with a wait comes out what is of its step, and all that has lasted with it."""
    for one in one_load(turn.floor, interval, turn.now_us):
        out(turn, one)


def end_if_running(turn: Turn, interval: Interval) -> None:
    """End an interval unless something before it in this press already has."""
    current = turn.floor.get(Interval, interval.id)
    if current.running:
        end(turn, current)


def _mark(turn: Turn, step: Step, pieces: Iterable[int], how: How, interval: Interval | None) -> None:
    for piece in pieces:
        turn.new(
            Tally,
            step_id=step.id,
            piece_id=piece,
            interval_id=interval.id if interval is not None else None,
            at_us=turn.now_us,
            how=how,
        )


def _begin_waits(turn: Turn, step: Step, pieces: Sequence[int]) -> None:
    """Start the wait that follows by itself, for those who are not in it or through it."""
    following = order_of(turn.floor, step.batch_id).next_in_strand(step)
    if following is None or not following.begins_itself:
        return
    waiting = {
        piece
        for interval in turn.floor.running.values()
        if interval.step_id == following.id
        for piece in interval.pieces
    }
    left = [p for p in _not_through(turn.floor, following, pieces) if p not in waiting]
    if left and following.kind in (Kind.WAIT, Kind.AWAY):
        begin_by_itself(turn, following, left)
