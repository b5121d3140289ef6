"""Amending a stretch of work afterwards: its ends, what was done, how, with which pieces.

Each is one rule of one press; ends that change are *amended*. What makes no sense is refused with a
sentence. Everything that is at the same time has to be on the floor (`Record.bring_since`).
"""

from collections.abc import Callable, Collection
from dataclasses import replace

from shopclock.shop.begin import usual_method
from shopclock.shop.clash import KEPT, clashes, make_sure, make_sure_it_fits
from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Certainty, How, Kind, Work
from shopclock.shop.loads import agree, load_for
from shopclock.shop.turn import Turn
from shopclock.shop.values import Interval, Load, Piece, Step, Tally


def move_start(turn: Turn, stretch: Interval, at_us: int, *, others_give_way: bool = False) -> Interval:
    """Let a stretch have begun at another instant; what is in its way ends then, where that is wanted."""
    moved = turn.edit(stretch, start_us=at_us, start_sure=Certainty.AMENDED)
    return _moved(turn, moved, others_give_way=others_give_way)


def move_end(turn: Turn, stretch: Interval, at_us: int, *, others_give_way: bool = False) -> Interval:
    """Let a stretch have ended at another instant; one that runs stops. Marks made by its end move with it."""
    for tally in _ending_marks(turn.floor, stretch):
        turn.edit(tally, at_us=at_us)
    moved = turn.edit(stretch, end_us=at_us, end_sure=Certainty.AMENDED)
    return _moved(turn, moved, others_give_way=others_give_way)


def _moved(turn: Turn, moved: Interval, *, others_give_way: bool) -> Interval:
    for other in clashes(turn.floor, moved) if others_give_way else ():
        _give_way(turn, other, moved)
    make_sure(turn.floor, moved, turn.now_us)
    return moved


def giving_way(floor: Floor, stretch: Interval, **ends: int) -> tuple[Interval, ...]:
    """Return what would have to begin later or end earlier for a stretch with these ends.

    Nothing where nothing is in its way, and where that would not help: something lies within it.
    """
    moved = replace(stretch, **ends)  # type: ignore[arg-type]  # ends are instants
    found = tuple(clashes(floor, moved))
    return found if all(_can_give_way(other, moved) for other in found) else ()


def _can_give_way(other: Interval, moved: Interval) -> bool:
    early = other.start_us < moved.start_us
    return early or (moved.end_us is not None and (other.end_us is None or other.end_us > moved.end_us))


def _give_way(turn: Turn, other: Interval, moved: Interval) -> None:
    if not _can_give_way(other, moved):
        return
    if other.start_us < moved.start_us:
        move_end(turn, other, moved.start_us)
    elif moved.end_us is not None:
        move_start(turn, other, moved.end_us)


def _ending_marks(floor: Floor, stretch: Interval) -> list[Tally]:
    """Return the marks that the press made which ended a stretch: Next, all through."""
    if stretch.batch_id is None or stretch.end_us is None:
        return []
    return [
        tally
        for tally in floor.of_batch(Tally, stretch.batch_id)
        if tally.step_id == stretch.step_id
        and tally.at_us == stretch.end_us
        and tally.how is not How.DONE
        and tally.piece_id in stretch.pieces
    ]


def move_mark(turn: Turn, tally: Tally, at_us: int) -> Tally:
    """Let a piece have been done at another instant of the stretch it was marked in."""
    stretch = turn.floor.get(Interval, tally.interval_id) if tally.interval_id is not None else None
    end_us = turn.now_us if stretch is None or stretch.end_us is None else stretch.end_us
    if stretch is None or not stretch.start_us <= at_us <= min(end_us, turn.now_us):
        raise Refusal(f"A piece is done while it is worked on, neither before nor after. {KEPT}")
    return turn.edit(tally, at_us=at_us)


def use_method(turn: Turn, stretch: Interval, method_id: int | None) -> Interval:
    """Let the whole of a stretch have been worked by another method."""
    return turn.edit(stretch, method_id=method_id)


def use_kind(turn: Turn, stretch: Interval, kind: Kind) -> Interval:
    """Let the whole of a stretch have been by hand, stayed by, a wait, or away."""
    return _changed(turn, stretch, lambda now: turn.edit(now, kind=kind))


def use_work(turn: Turn, stretch: Interval, work: Work, cause: Step | None = None) -> Interval:
    """Let the whole of a stretch have been the work itself, set-up, or work done again because of a step."""
    if stretch.step_id is None:
        raise Refusal(f"Shop work is neither set-up nor done again. {KEPT}")
    if work is Work.REWORK and cause is None:
        raise Refusal(f"Work done again names the step that caused it. {KEPT}")
    cause_id = cause.id if cause is not None and work is Work.REWORK else None
    changed = turn.edit(stretch, work=work, cause_step_id=cause_id)
    make_sure_it_fits(turn.floor)
    return changed


def use_pieces(turn: Turn, stretch: Interval, pieces: Collection[int]) -> Interval:
    """Let a stretch have covered exactly these pieces; those marked done in it stay."""
    if stretch.step_id is None:
        raise Refusal(f"Shop work has no pieces. {KEPT}")
    if not pieces:
        raise Refusal(f"One piece has to stay in it. {KEPT}")
    for tally in turn.floor.hands.done_in(stretch):
        if tally.piece_id not in pieces:
            raise Refusal(f"{turn.floor.get(Piece, tally.piece_id).mark} was done in it. {KEPT}")
    ordered = tuple(sorted(pieces, key=lambda p: turn.floor.get(Piece, p).position))
    return _changed(turn, stretch, lambda now: turn.edit(now, pieces=ordered))


def share_hands(turn: Turn, stretch: Interval, *, together: bool) -> Interval:
    """Let a stretch by hand have been at once with others that are marked so, or not."""
    return _changed(turn, stretch, lambda now: turn.edit(now, together=together))


def use_step(turn: Turn, stretch: Interval, step: Step) -> Interval:
    """Let the whole of a stretch have been another step, of its batch or of another one.

    In another batch the pieces with the same marks are meant; all that stayed, where there are none.
    Marks made in it, and by its end, are marks at that step then.
    """
    if stretch.step_id is None:
        raise Refusal(f"Shop work belongs to no batch. Take it away and add the work. {KEPT}")
    other_batch = step.batch_id != stretch.batch_id
    pieces = _same_marks(turn.floor, stretch, step.batch_id) if other_batch else stretch.pieces
    marks = [*turn.floor.hands.done_in(stretch), *_ending_marks(turn.floor, stretch)]
    leave_chain(turn, stretch)
    same_stage = step.stage_id == stretch.stage_id
    changed = turn.edit(
        stretch,
        batch_id=step.batch_id,
        step_id=step.id,
        stage_id=step.stage_id,
        method_id=stretch.method_id if same_stage else usual_method(turn.floor, step),
        kind=stretch.kind if same_stage else step.kind,
        pieces=pieces,
        work=Work.RUN if other_batch and stretch.work is Work.REWORK else stretch.work,
        cause_step_id=None if other_batch else stretch.cause_step_id,
        load_id=None,
    )
    changed = turn.edit(changed, load_id=_load_there(turn, stretch, step, pieces))
    for tally in marks:
        _mark_at(turn, tally, step, pieces)
    make_sure(turn.floor, changed, turn.now_us)
    return changed


def _load_there(turn: Turn, stretch: Interval, step: Step, pieces: tuple[int, ...]) -> int | None:
    """Return the load of a stretch that was another step: what runs lies in that step's tool, what ended may have."""
    if stretch.running:
        return load_for(turn, step, pieces)
    load = turn.floor.find(Load, stretch.load_id or 0)
    same = load is not None and load.tool_id == step.tool_id and agree(load.setting, step.setting)
    return stretch.load_id if same else None


def _same_marks(floor: Floor, stretch: Interval, batch_id: int) -> tuple[int, ...]:
    marks = set(floor.marks(stretch.pieces))
    there = floor.pieces(batch_id)
    staying = tuple(p.id for p in there if p.outcome is None or p.outcome.finished)
    found = tuple(p.id for p in there if p.mark in marks) or staying
    if not found:
        raise Refusal(f"There is no piece of that batch that it can have been. {KEPT}")
    return found


def _mark_at(turn: Turn, tally: Tally, step: Step, pieces: tuple[int, ...]) -> None:
    """Let a mark be one at this step; dropped where its piece has none there, or is marked already."""
    mark = turn.floor.get(Piece, tally.piece_id).mark
    piece = next((p for p in pieces if turn.floor.get(Piece, p).mark == mark), None)
    if piece is None or any(t.piece_id == piece for t in turn.floor.tallies_of(step)):
        turn.drop(tally)
    else:
        turn.edit(tally, step_id=step.id, piece_id=piece)


def leave_chain(turn: Turn, stretch: Interval) -> None:
    """Take a stretch out of the work that it goes on from; what goes on from it goes on from that."""
    follower = turn.floor.find(Interval, turn.floor.hands.continued.get(stretch.id, 0))
    before = turn.floor.get(Interval, stretch.id).continues_id
    if follower is not None:
        turn.edit(follower, continues_id=None)
    turn.edit(stretch, continues_id=None)
    if follower is not None and before is not None:
        turn.edit(follower, continues_id=before)


def _changed(turn: Turn, stretch: Interval, change: Callable[[Interval], Interval]) -> Interval:
    changed = change(stretch)
    make_sure(turn.floor, changed, turn.now_us)
    return changed
