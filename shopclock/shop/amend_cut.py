"""Amending a day: a stretch split, joined with the next, added, taken away."""

from collections.abc import Collection, Iterator
from dataclasses import fields
from typing import Any

from shopclock.shop.amend import leave_chain
from shopclock.shop.begin import usual_method
from shopclock.shop.clash import KEPT, make_sure, make_sure_it_fits, name_of
from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Certainty, Work, worse
from shopclock.shop.stretch import open_at
from shopclock.shop.turn import Turn
from shopclock.shop.values import THINGS, Interval, Piece, Stage, Step, Thing


def split_at(turn: Turn, stretch: Interval, at_us: int) -> Interval:
    """Cut a stretch in two at an instant within it; returns the second part, which goes on from the first."""
    end_us = turn.now_us if stretch.end_us is None else stretch.end_us
    if not stretch.start_us < at_us < end_us:
        raise Refusal(f"It can only be split between its start and its end. {KEPT}")
    follower = turn.floor.find(Interval, turn.floor.hands.continued.get(stretch.id, 0))
    if follower is not None:
        turn.edit(follower, continues_id=None)
    turn.edit(stretch, end_us=at_us, end_sure=Certainty.AMENDED)
    kept = {f.name: getattr(stretch, f.name) for f in fields(stretch) if f.name not in ("id", "uuid")}
    changed = {"start_us": at_us, "start_sure": Certainty.AMENDED, "continues_id": stretch.id}
    later = turn.new(Interval, **(kept | changed))
    if follower is not None:
        turn.edit(follower, continues_id=later.id)
    for tally in turn.floor.hands.done_in(stretch):
        if tally.at_us > at_us:
            turn.edit(tally, interval_id=later.id)
    return later


def next_like(floor: Floor, stretch: Interval) -> Interval | None:
    """Return the next stretch of the same step, batch and hands, or nothing."""
    if stretch.end_us is None:
        return None
    same = (
        other
        for other in (floor.of_batch(Interval, stretch.batch_id) if stretch.batch_id is not None else ())
        if other.step_id == stretch.step_id
        and other.maker_id == stretch.maker_id
        and other.id != stretch.id
        and other.start_us >= stretch.end_us
    )
    return min(same, key=lambda other: (other.start_us, other.id), default=None)


def join_next(turn: Turn, stretch: Interval) -> Interval:
    """Make one stretch of this and the next of the same step, the gap between them worked as well."""
    later = next_like(turn.floor, stretch)
    if later is None:
        raise Refusal(f"No more of {name_of(turn.floor, stretch)} comes after it. {KEPT}")
    _alike(stretch, later)
    follower = turn.floor.find(Interval, turn.floor.hands.continued.get(later.id, 0))
    for other in {turn.floor.hands.continued.get(stretch.id, 0), later.id, follower.id if follower else 0} - {0}:
        turn.edit(turn.floor.get(Interval, other), continues_id=None)
    for thing in _belonging(turn.floor, later):
        turn.edit(thing, interval_id=stretch.id)
    turn.drop(later)
    bridged = later.end_sure if later.start_us == stretch.end_us else worse(later.end_sure, Certainty.AMENDED)
    joined = turn.edit(stretch, end_us=later.end_us, end_sure=bridged)
    if follower is not None:
        turn.edit(follower, continues_id=stretch.id)
    make_sure(turn.floor, joined, turn.now_us)
    return joined


def _alike(one: Interval, other: Interval) -> None:
    for what, name in _COMPARED.items():
        if getattr(one, what) != getattr(other, what):
            raise Refusal(f"The next one has {name}. Make them alike first. {KEPT}")


_COMPARED = {
    "pieces": "other pieces",
    "method_id": "another method",
    "kind": "another kind of work",
    "work": "another kind of work",
    "cause_step_id": "another cause",
    "together": "hands shared otherwise",
    "shop_c": "another temperature of the shop",
}


def remove(turn: Turn, stretch: Interval) -> None:
    """Take a stretch away as if it had not been, with the marks made in it."""
    leave_chain(turn, stretch)
    for thing in _belonging(turn.floor, stretch):
        turn.drop(thing)
    turn.drop(stretch)
    make_sure_it_fits(turn.floor)


def _belonging(floor: Floor, stretch: Interval) -> Iterator[Any]:
    """Yield what points at a stretch: marks, and whatever else is kept with it."""
    for kind in _POINTING:
        yield from (thing for thing in floor.all(kind) if getattr(thing, "interval_id", None) == stretch.id)


_POINTING: tuple[type[Thing], ...] = tuple(k for k in THINGS if any(f.name == "interval_id" for f in fields(k)))


def add(turn: Turn, step: Step, start_us: int, end_us: int, pieces: Collection[int] | None = None) -> Interval:
    """Add a stretch at a step that nobody timed, with these pieces or with all that can have been there."""
    covered = tuple(pieces) if pieces is not None else could_be_there(turn.floor, step, start_us, end_us)
    if not covered:
        raise Refusal(f"No piece can have been at {step.name} then. {KEPT}")
    return _added(
        turn,
        start_us,
        end_us,
        batch_id=step.batch_id,
        step_id=step.id,
        stage_id=step.stage_id,
        method_id=usual_method(turn.floor, step),
        kind=step.kind,
        pieces=covered,
    )


def add_shop_work(turn: Turn, stage: Stage, start_us: int, end_us: int) -> Interval:
    """Add a stretch of work on no piece."""
    what: dict[str, Any] = {"batch_id": None, "step_id": None, "stage_id": stage.id, "method_id": None}
    return _added(turn, start_us, end_us, **what, kind=stage.kind, pieces=())


def _added(turn: Turn, start_us: int, end_us: int, **what: Any) -> Interval:
    sure = Certainty.AMENDED
    added = open_at(turn, start_us, end_us=end_us, work=Work.RUN, start_sure=sure, end_sure=sure, **what)
    make_sure(turn.floor, added, turn.now_us)
    return added


def could_be_there(floor: Floor, step: Step, start_us: int, end_us: int) -> tuple[int, ...]:
    """Return the pieces of a batch that were there all that time and at nothing else in the strand."""
    there = [p for p in floor.pieces(step.batch_id) if p.ended_us is None or p.ended_us >= end_us]
    return tuple(piece.id for piece in there if not _busy(floor, step, piece, start_us, end_us))


def _busy(floor: Floor, step: Step, piece: Piece, start_us: int, end_us: int) -> bool:
    return any(
        piece.id in other.pieces
        and other.step_id is not None
        and floor.get(Step, other.step_id).strand == step.strand
        and other.start_us < end_us
        and (other.end_us is None or other.end_us > start_us)
        for other in floor.of_batch(Interval, step.batch_id)
    )
