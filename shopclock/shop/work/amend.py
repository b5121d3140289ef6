"""Amending work afterwards: an interval's ends, what was done, how, with which pieces; a day split and joined."""

from collections.abc import Collection, Iterator
from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Both, ImportRow, Interval, Leaving, Load, Note, Piece, Stage, Step, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Certainty, Kind, MarkedBy, WorkKind, worse
from shopclock.shop.work.adjust import move_marks_at_end
from shopclock.shop.work.begin import at_step, by_mark, usual_method
from shopclock.shop.work.loads import agree, load_for
from shopclock.shop.work.overlap_rules import KEPT, clashes, make_sure, make_sure_it_fits, name_of


def move_start(tx: Transaction, interval: Interval, at_us: int, *, others_give_way: bool = False) -> Interval:
    """Let a stretch have begun at another instant; what is in its way ends then, where that is wanted."""
    moved = tx.change(replace(tx.current(interval), start_us=at_us, start_sure=Certainty.AMENDED))
    return _moved(tx, moved, others_give_way=others_give_way)


def move_end(tx: Transaction, interval: Interval, at_us: int, *, others_give_way: bool = False) -> Interval:
    """Let a stretch have ended at another instant; one that runs stops. Marks made at its end move with it."""
    move_marks_at_end(tx, interval, at_us)
    for tally in _ending_marks(tx.floor, interval):
        tx.change(replace(tx.current(tally), at_us=at_us))
    moved = tx.change(replace(tx.current(interval), end_us=at_us, end_sure=Certainty.AMENDED))
    return _moved(tx, moved, others_give_way=others_give_way)


def _moved(tx: Transaction, moved: Interval, *, others_give_way: bool) -> Interval:
    for other in clashes(tx.floor, moved) if others_give_way else ():
        _give_way(tx, other, moved)
    make_sure(tx.floor, moved, tx.now_us)
    return moved


def giving_way(
    floor: ShopFloor, interval: Interval, *, start_us: int | None = None, end_us: int | None = None
) -> tuple[Interval, ...]:
    """Return what would have to begin later or end earlier for a stretch with these ends.

    Nothing where nothing is in its way, and where that would not help: something lies within it.
    """
    moved = replace(interval, start_us=start_us or interval.start_us, end_us=end_us or interval.end_us)
    found = tuple(clashes(floor, moved))
    return found if all(_can_give_way(other, moved) for other in found) else ()


def _can_give_way(other: Interval, moved: Interval) -> bool:
    early = other.start_us < moved.start_us
    return early or (moved.end_us is not None and (other.end_us is None or other.end_us > moved.end_us))


def _give_way(tx: Transaction, other: Interval, moved: Interval) -> None:
    if not _can_give_way(other, moved):
        return
    if other.start_us < moved.start_us:
        move_end(tx, other, moved.start_us)
    elif moved.end_us is not None:
        move_start(tx, other, moved.end_us)


def _ending_marks(floor: ShopFloor, interval: Interval) -> list[Tally]:
    """Return the marks that the press made which ended a stretch: Next, all through."""
    if interval.batch_id is None or interval.end_us is None:
        return []
    return [
        tally
        for tally in floor.of_batch(Tally, interval.batch_id)
        if tally.step_id == interval.step_id
        and tally.at_us == interval.end_us
        and tally.how is not MarkedBy.DONE
        and tally.piece_id in interval.pieces
    ]


def move_mark(tx: Transaction, tally: Tally, at_us: int) -> Tally:
    """Let a piece have been done at another instant of the stretch it was marked in."""
    interval = tx.floor.get(Interval, tally.interval_id) if tally.interval_id is not None else None
    end_us = tx.now_us if interval is None or interval.end_us is None else interval.end_us
    if interval is None or not interval.start_us <= at_us <= min(end_us, tx.now_us):
        raise Refusal(f"A piece is done while it is worked on, neither before nor after. {KEPT}")
    return tx.change(replace(tx.current(tally), at_us=at_us))


def use_method(tx: Transaction, interval: Interval, method_id: int | None) -> Interval:
    """Let the whole of a stretch have been worked by another method."""
    return tx.change(replace(tx.current(interval), method_id=method_id))


def use_kind(tx: Transaction, interval: Interval, kind: Kind) -> Interval:
    """Let the whole of a stretch have been by hand, stayed by, a wait, or away."""
    return _sure(tx, replace(tx.current(interval), kind=kind))


def use_work(tx: Transaction, interval: Interval, work: WorkKind, cause: Step | None = None) -> Interval:
    """Let the whole of a stretch have been the work itself, set-up, or work done again because of a step."""
    if interval.step_id is None:
        raise Refusal(f"Shop work is neither set-up nor done again. {KEPT}")
    if work is WorkKind.REWORK and cause is None:
        raise Refusal(f"Work done again names the step that caused it. {KEPT}")
    cause_id = cause.id if cause is not None and work is WorkKind.REWORK else None
    changed = tx.change(replace(tx.current(interval), work=work, cause_step_id=cause_id))
    make_sure_it_fits(tx.floor)
    return changed


def use_pieces(tx: Transaction, interval: Interval, pieces: Collection[int]) -> Interval:
    """Let a stretch have covered exactly these pieces; those marked done in it stay."""
    if interval.step_id is None:
        raise Refusal(f"Shop work has no pieces. {KEPT}")
    if not pieces:
        raise Refusal(f"One piece has to stay in it. {KEPT}")
    for tally in tx.floor.hands.done_in(interval):
        if tally.piece_id not in pieces:
            raise Refusal(f"{tx.floor.get(Piece, tally.piece_id).mark} was done in it. {KEPT}")
    return _sure(tx, replace(tx.current(interval), pieces=by_mark(tx.floor, pieces)))


def share_hands(tx: Transaction, interval: Interval, *, together: bool) -> Interval:
    """Let a stretch by hand have been at once with others that are marked so, or not."""
    return _sure(tx, replace(tx.current(interval), together=together))


def use_step(tx: Transaction, interval: Interval, step: Step) -> Interval:
    """Let the whole of a stretch have been another step, of its batch or of another one.

    In another batch the pieces with the same marks are meant; all that stayed, where there are none.
    Marks made in it, and by its end, are marks at that step then.
    """
    if interval.step_id is None:
        raise Refusal(f"Shop work belongs to no batch. Take it away and add the work. {KEPT}")
    other_batch = step.batch_id != interval.batch_id
    pieces = _same_marks(tx.floor, interval, step.batch_id) if other_batch else interval.pieces
    marks = [*tx.floor.hands.done_in(interval), *_ending_marks(tx.floor, interval)]
    leave_chain(tx, interval)
    same_stage = step.stage_id == interval.stage_id
    changed = tx.change(
        replace(
            tx.current(interval),
            batch_id=step.batch_id,
            step_id=step.id,
            stage_id=step.stage_id,
            method_id=interval.method_id if same_stage else usual_method(tx.floor, step),
            kind=interval.kind if same_stage else step.kind,
            pieces=pieces,
            work=WorkKind.RUN if other_batch and interval.work is WorkKind.REWORK else interval.work,
            cause_step_id=None if other_batch else interval.cause_step_id,
            load_id=None,
        )
    )
    changed = tx.change(replace(tx.current(changed), load_id=_load_there(tx, interval, step, pieces)))
    for tally in marks:
        _mark_at(tx, tally, step, pieces)
    for loss in [loss for loss in tx.floor.all(Leaving) if loss.interval_id == interval.id]:
        if other_batch:
            tx.drop(loss)
        else:
            tx.change(replace(loss, step_id=step.id))
    make_sure(tx.floor, changed, tx.now_us)
    return changed


def _load_there(tx: Transaction, interval: Interval, step: Step, pieces: tuple[int, ...]) -> int | None:
    """Return the load of a stretch that was another step: what runs lies in that step's tool, what ended may have."""
    if interval.running:
        return load_for(tx, step, pieces)
    load = tx.floor.find(Load, interval.load_id or 0)
    same = load is not None and load.tool_id == step.tool_id and agree(load.setting, step.setting)
    return interval.load_id if same else None


def _same_marks(floor: ShopFloor, interval: Interval, batch_id: int) -> tuple[int, ...]:
    marks = set(floor.marks(interval.pieces))
    there = floor.pieces(batch_id)
    staying = tuple(p.id for p in there if p.outcome is None or p.outcome.finished)
    found = tuple(p.id for p in there if p.mark in marks) or staying
    if not found:
        raise Refusal(f"There is no piece of that batch that it can have been. {KEPT}")
    return found


def _mark_at(tx: Transaction, tally: Tally, step: Step, pieces: tuple[int, ...]) -> None:
    """Let a mark be one at this step; dropped where its piece has none there, or is marked already."""
    mark = tx.floor.get(Piece, tally.piece_id).mark
    piece = next((p for p in pieces if tx.floor.get(Piece, p).mark == mark), None)
    if piece is None or any(t.piece_id == piece for t in tx.floor.tallies_of(step)):
        tx.drop(tally)
    else:
        tx.change(replace(tx.current(tally), step_id=step.id, piece_id=piece))


def leave_chain(tx: Transaction, interval: Interval) -> None:
    """Take a stretch out of the work that it goes on from; what goes on from it goes on from that."""
    follower = tx.floor.find(Interval, tx.floor.hands.continued.get(interval.id, 0))
    before = tx.floor.get(Interval, interval.id).continues_id
    if follower is not None:
        tx.change(replace(tx.current(follower), continues_id=None))
    tx.change(replace(tx.current(interval), continues_id=None))
    if follower is not None and before is not None:
        tx.change(replace(tx.current(follower), continues_id=before))


def _sure(tx: Transaction, changed: Interval) -> Interval:
    tx.change(changed)
    make_sure(tx.floor, changed, tx.now_us)
    return changed


def split_at(tx: Transaction, interval: Interval, at_us: int) -> Interval:
    """Cut a stretch in two at an instant within it; returns the second part, which goes on from the first."""
    end_us = tx.now_us if interval.end_us is None else interval.end_us
    if not interval.start_us < at_us < end_us:
        raise Refusal(f"It can only be split between its start and its end. {KEPT}")
    follower = tx.floor.find(Interval, tx.floor.hands.continued.get(interval.id, 0))
    if follower is not None:
        tx.change(replace(tx.current(follower), continues_id=None))
    tx.change(replace(tx.current(interval), end_us=at_us, end_sure=Certainty.AMENDED))
    later = tx.add(replace(interval, start_us=at_us, start_sure=Certainty.AMENDED, continues_id=interval.id))
    if follower is not None:
        tx.change(replace(tx.current(follower), continues_id=later.id))
    for tally in tx.floor.hands.done_in(interval):
        if tally.at_us > at_us:
            tx.change(replace(tx.current(tally), interval_id=later.id))
    for loss in [loss for loss in tx.floor.all(Leaving) if loss.interval_id == interval.id and loss.at_us > at_us]:
        tx.change(replace(loss, interval_id=later.id))
    return later


def next_like(floor: ShopFloor, interval: Interval) -> Interval | None:
    """Return the next stretch of the same step, batch and hands, or nothing."""
    if interval.end_us is None:
        return None
    same = (
        other
        for other in (floor.of_batch(Interval, interval.batch_id) if interval.batch_id is not None else ())
        if other.step_id == interval.step_id
        and other.maker_id == interval.maker_id
        and other.id != interval.id
        and other.start_us >= interval.end_us
    )
    return min(same, key=lambda other: (other.start_us, other.id), default=None)


_COMPARED = {
    "pieces": "other pieces",
    "method_id": "another method",
    "kind": "another kind of work",
    "work": "another kind of work",
    "cause_step_id": "another cause",
    "together": "hands shared otherwise",
    "shop_c": "another temperature of the shop",
}


def join_next(tx: Transaction, interval: Interval) -> Interval:
    """Make one stretch of this and the next of the same step, the gap between them worked as well."""
    later = next_like(tx.floor, interval)
    if later is None:
        raise Refusal(f"No more of {name_of(tx.floor, interval)} comes after it. {KEPT}")
    for what, name in _COMPARED.items():
        if getattr(interval, what) != getattr(later, what):
            raise Refusal(f"The next one has {name}. Make them alike first. {KEPT}")
    follower = tx.floor.find(Interval, tx.floor.hands.continued.get(later.id, 0))
    for other in {tx.floor.hands.continued.get(interval.id, 0), later.id, follower.id if follower else 0} - {0}:
        tx.change(replace(tx.floor.get(Interval, other), continues_id=None))
    _hand_on(tx, later, interval.id)
    tx.drop(later)
    bridged = later.end_sure if later.start_us == interval.end_us else worse(later.end_sure, Certainty.AMENDED)
    if follower is not None:
        tx.change(replace(tx.current(follower), continues_id=interval.id))
    return _sure(tx, replace(tx.current(interval), end_us=later.end_us, end_sure=bridged))


def remove(tx: Transaction, interval: Interval) -> None:
    """Take a stretch away as if it had not been, with the marks made in it."""
    drop_with_all(tx, interval)
    make_sure_it_fits(tx.floor)


def drop_with_all(tx: Transaction, interval: Interval) -> None:
    """Take a stretch out of the record with what belongs to it; what went on from it goes on from what was before."""
    leave_chain(tx, interval)
    for thing in (*_belonging(tx.floor, interval), *_pairs(tx.floor, interval)):
        tx.drop(thing)
    tx.drop(interval)


def _hand_on(tx: Transaction, later: Interval, to: int) -> None:
    """Have what belongs to a stretch belong to another one."""
    for thing in _belonging(tx.floor, later):
        tx.change(replace(tx.current(thing), interval_id=to))
    for pair in _pairs(tx.floor, later):
        one, other = (to if number == later.id else number for number in (pair.interval_id, pair.other_id))
        if one == other:
            tx.drop(pair)
        else:
            tx.change(replace(tx.current(pair), interval_id=one, other_id=other))


def _belonging(floor: ShopFloor, interval: Interval) -> Iterator[Tally | Leaving | Note | ImportRow]:
    """Yield what belongs to a stretch: marks, losses, notes, and the row of old notes that it was made of."""
    yield from (tally for tally in floor.all(Tally) if tally.interval_id == interval.id)
    yield from (loss for loss in floor.all(Leaving) if loss.interval_id == interval.id)
    yield from (note for note in floor.all(Note) if note.interval_id == interval.id)
    yield from (row for row in floor.all(ImportRow) if row.interval_id == interval.id)


def _pairs(floor: ShopFloor, interval: Interval) -> Iterator[Both]:
    """Yield what says that a stretch was at once with another one."""
    yield from (pair for pair in floor.all(Both) if interval.id in (pair.interval_id, pair.other_id))


def add(tx: Transaction, step: Step, start_us: int, end_us: int, pieces: Collection[int] | None = None) -> Interval:
    """Add a stretch at a step that nobody timed, with these pieces or with all that can have been there."""
    covered = tuple(pieces) if pieces is not None else could_be_there(tx.floor, step, start_us, end_us)
    if not covered:
        raise Refusal(f"No piece can have been at {step.name} then. {KEPT}")
    return _added(tx, replace(at_step(tx, step, covered, start_us), end_us=end_us))


def add_shop_work(tx: Transaction, stage: Stage, start_us: int, end_us: int) -> Interval:
    """Add a stretch of work on no piece."""
    plain = Interval(stage_id=stage.id, maker_id=tx.maker_id, kind=stage.kind, start_us=start_us, end_us=end_us)
    return _added(tx, plain)


def _added(tx: Transaction, interval: Interval) -> Interval:
    added = tx.add(replace(interval, start_sure=Certainty.AMENDED, end_sure=Certainty.AMENDED))
    make_sure(tx.floor, added, tx.now_us)
    return added


def could_be_there(floor: ShopFloor, step: Step, start_us: int, end_us: int) -> tuple[int, ...]:
    """Return the pieces of a batch that were there all that time and at nothing else in the strand."""
    there = [p for p in floor.pieces(step.batch_id) if p.ended_us is None or p.ended_us >= end_us]
    return tuple(piece.id for piece in there if not _busy(floor, step, piece, start_us, end_us))


def _busy(floor: ShopFloor, step: Step, piece: Piece, start_us: int, end_us: int) -> bool:
    return any(
        piece.id in other.pieces
        and other.step_id is not None
        and floor.get(Step, other.step_id).strand == step.strand
        and other.start_us < end_us
        and (other.end_us is None or other.end_us > start_us)
        for other in floor.of_batch(Interval, step.batch_id)
    )
