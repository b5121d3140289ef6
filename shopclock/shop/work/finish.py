"""Getting pieces through a step: one done, next, all through, out of the wait."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor, unbroken
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Interval, Piece, Step, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind, MarkedBy, WorkKind
from shopclock.shop.work.amend import drop_with_all
from shopclock.shop.work.begin import begin_by_itself, by_mark, end, split, step_of
from shopclock.shop.work.loads import done_again, one_load
from shopclock.shop.work.piece_progress import order_of, through


def next_done(floor: ShopFloor, interval: Interval) -> Piece | None:
    """Return the piece that *Done* would mark: the first one covered that isn't done yet.

    One that was lost at another bench before it was taken in hand here stays in hand, and is passed over.
    """
    if interval.step_id is None:
        return None
    done = marked_at(floor, interval, floor.get(Step, interval.step_id))
    left = (floor.get(Piece, p) for p in interval.pieces if p not in done)
    return next((piece for piece in left if not piece.lost), None)


def one_done(tx: Transaction, interval: Interval, piece: Piece | None = None) -> Piece:
    """Mark one piece as through the step that runs, or was stopped last; set-up ends by itself.

    After Stop it was through when Stop was pressed: all that are marked then share what that ended. A piece that was
    not in hand is through without minutes.
    """
    current = tx.current(interval)
    found = piece if piece is not None else next_done(tx.floor, current)
    if found is None or current.step_id is None:
        raise Refusal("Every piece in hand is done already. Nothing was changed.")
    step = tx.floor.get(Step, current.step_id)
    if found.id in marked_at(tx.floor, current, step):
        raise Refusal(f"{found.mark} is through {step.name} already. Nothing was changed.")
    if found.lost:
        raise Refusal(f"{found.mark} is lost. Nothing was changed.")
    at_us = tx.now_us if current.end_us is None else current.end_us
    if found.id in current.pieces:
        tx.add(Tally(step_id=step.id, piece_id=found.id, interval_id=current.id, at_us=at_us, how=MarkedBy.DONE))
    else:
        tx.add(Tally(step_id=step.id, piece_id=found.id, at_us=at_us, how=MarkedBy.ALL))
    if current.work is WorkKind.SETUP and current.running:
        split(tx, replace(current, work=WorkKind.RUN))
    _begin_waits(tx, step, (found.id,))
    return found


def marked_at(floor: ShopFloor, interval: Interval, step: Step) -> set[int]:
    """Return the pieces that are marked at a step; of those in hand for rework, those done again in it."""
    marked = {tally.piece_id for tally in floor.tallies_of(step)}
    if interval.work is WorkKind.REWORK:
        return marked.difference(interval.pieces) | done_again(floor, interval)
    return marked


def not_yet(tx: Transaction, step: Step, piece: Piece) -> None:
    """Take the newest mark of a piece at a step back: minutes, set-up and waits are as if it had never been made.

    Refused where it has none there, and where the piece has gone on: then it is through all the same.
    """
    mark = next((t for t in reversed(tx.floor.tallies_of(step)) if t.piece_id == piece.id), None)
    if mark is None:
        raise Refusal(f"{piece.mark} is not marked as through {step.name}. Nothing was changed.")
    tx.drop(mark)
    _without_wait(tx, step, piece)
    of = tx.floor.find(Interval, mark.interval_id)
    if of is not None:
        _as_before(tx, of, mark)
    again = of is not None and of.work is WorkKind.REWORK
    if not again and piece.id in through(tx.floor, step.batch_id)[step.id]:
        raise Refusal(f"{piece.mark} has gone on from {step.name} already. Nothing was changed.")


def _as_before(tx: Transaction, interval: Interval, mark: Tally) -> None:
    """Let what a mark split go on as it was: as set-up, with the piece in hand."""
    after = tx.floor.find(Interval, tx.floor.hands.continued.get(interval.id))
    if after is None or after.start_us != mark.at_us:
        return
    work = interval.work if interval.work is WorkKind.SETUP else after.work
    tx.change(replace(after, work=work))
    while after is not None and mark.piece_id not in after.pieces:
        tx.change(replace(tx.current(after), pieces=by_mark(tx.floor, (*after.pieces, mark.piece_id))))
        after = tx.floor.find(Interval, tx.floor.hands.continued.get(after.id))


def _without_wait(tx: Transaction, step: Step, piece: Piece) -> None:
    """Let a piece never have been in the wait that began by itself after a step."""
    following = order_of(tx.floor, step.batch_id).next_in_strand(step)
    if following is None or not following.begins_itself:
        return
    waits = [i for i in tx.floor.running.values() if i.step_id == following.id and piece.id in i.pieces]
    for part in [part for wait in waits for part in unbroken(tx.floor, wait)]:
        left = tuple(p for p in part.pieces if p != piece.id)
        if left:
            tx.change(replace(part, pieces=left))
        else:
            drop_with_all(tx, part)


def next_step(floor: ShopFloor, step: Step, pieces: Iterable[int]) -> Step | None:
    """Return the step that *Next* would start for these pieces, or nothing when all is done.

    It is the one that follows in the strand. Where that has to wait for another strand (scales
    before glue-up), or the strand has ended, it is the first one that is open to them.
    """
    order, wanted = order_of(floor, step.batch_id), tuple(pieces)
    following = order.next_in_strand(step)
    while following is not None and not not_through(floor, following, wanted):
        following = order.next_in_strand(following)
    if following is not None and _is_open(floor, step, following, wanted):
        return following
    blocking = order.earlier[following.id] if following is not None else {s.id for s in order.timed}
    for other in order.timed:
        if other.id not in blocking or other.id == step.id:
            continue
        at_it = {piece for i in floor.running.values() if i.step_id == other.id for piece in i.pieces}
        if set(not_through(floor, other, wanted)) - at_it and _is_open(floor, step, other, wanted):
            return other
    return following


def _is_open(floor: ShopFloor, from_step: Step, step: Step, pieces: tuple[int, ...]) -> bool:
    """Tell whether a step asks for nothing more than the step that they come from."""
    reached = through(floor, step.batch_id)
    needed = order_of(floor, step.batch_id).needed[step.id] - {from_step.id}
    left = not_through(floor, step, pieces)
    return all(piece in reached[first] for first in needed for piece in left)


def not_through(floor: ShopFloor, step: Step, pieces: Iterable[int]) -> tuple[int, ...]:
    """Return those of these pieces that live and have this step ahead of them."""
    reached = through(floor, step.batch_id)[step.id]
    return tuple(p for p in pieces if p not in reached and floor.get(Piece, p).living)


def all_through(tx: Transaction, step: Step, pieces: Sequence[int], how: MarkedBy = MarkedBy.ALL) -> None:
    """Mark these pieces as through a step, worked or not; one that was lost meanwhile at another bench is not."""
    reached = {t.piece_id for t in tx.floor.tallies_of(step)}
    for piece in pieces:
        if piece not in reached and not tx.floor.get(Piece, piece).lost:
            tx.add(Tally(step_id=step.id, piece_id=piece, at_us=tx.now_us, how=how))
    _begin_waits(tx, step, pieces)


def out(tx: Transaction, interval: Interval) -> None:
    """*Out*: end a wait, or bring back what was away; its pieces are through it."""
    step = step_of(tx.floor, interval)
    end_if_running(tx, interval)
    if step is not None:
        all_through(tx, step, interval.pieces)


def load_out(tx: Transaction, interval: Interval) -> None:
    """*Out* of a whole load: with a wait comes out what is of its step, and all that has lasted with it."""
    for one in one_load(tx.floor, interval, tx.now_us):
        out(tx, one)


def end_if_running(tx: Transaction, interval: Interval) -> None:
    """End an interval unless something before it in this press already has."""
    current = tx.floor.get(Interval, interval.id)
    if current.running:
        end(tx, current)


def _begin_waits(tx: Transaction, step: Step, pieces: Sequence[int]) -> None:
    """Start the wait that follows by itself, for those who are not in it or through it."""
    following = order_of(tx.floor, step.batch_id).next_in_strand(step)
    if following is None or not following.begins_itself:
        return
    waiting = {
        piece for interval in tx.floor.running.values() if interval.step_id == following.id for piece in interval.pieces
    }
    left = [p for p in not_through(tx.floor, following, pieces) if p not in waiting]
    if left and following.kind in (Kind.WAIT, Kind.AWAY):
        begin_by_itself(tx, following, left)
