"""Fold of the presses that stand: what a thing is, from what each of them changed of it, in their order.

A press changes groups of fields, and the last press that stands has each group. So a press can be taken back, or put
back, without an old value being written over what a later one changed. A clock that was put right is a move: it
changes whatever instants there are at its place in the order.
"""

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from typing import Any

from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import (
    AskedPrice,
    CostItem,
    CustomerOrder,
    Entity,
    Interval,
    Leaving,
    Piece,
    Question,
    Quote,
    Reading,
    ReadingKind,
    Tally,
)
from shopclock.shop.values.instants import INSTANTS

GROUPS: dict[type[Entity], tuple[tuple[str, ...], ...]] = {
    Piece: (("outcome", "lost_step_id", "reason", "ended_us"),),
    Interval: (("batch_id", "step_id", "stage_id"), ("start_us", "start_sure"), ("end_us", "end_sure")),
    Tally: (("step_id", "piece_id", "interval_id"),),
    Leaving: (("step_id", "piece_id", "interval_id"),),
    Reading: (("measured", "unit"), ("target", "target_unit")),
    ReadingKind: (("low", "high", "target", "unit"),),
    Question: (("answered_us", "answer"),),
    CustomerOrder: (("price", "deposit", "currency"),),
    Quote: (("price", "currency"),),
    CostItem: (("amount", "currency"),),
    AskedPrice: (("price", "currency"),),
}
"""Fields that say one thing together; every other field is a group of its own, and so is each piece among `pieces`."""
SEVERAL = "pieces"


@dataclass(frozen=True, slots=True)
class Move:
    """Move of every instant from one on, before another (None: all), by so many microseconds."""

    from_us: int
    until_us: int | None
    by_us: int

    def at(self, us: int) -> int:
        """Return where an instant lies after the move."""
        return us + self.by_us if self.moves(us) else us

    def moves(self, us: int) -> bool:
        """Tell whether an instant moves."""
        return us >= self.from_us and (self.until_us is None or us < self.until_us)

    def of(self, thing: Entity) -> Entity:
        """Return a thing with its instants moved."""
        at = {name: us for name in INSTANTS.get(type(thing), ()) if (us := getattr(thing, name)) is not None}
        moved: dict[str, Any] = {name: self.at(us) for name, us in at.items()}
        return thing if moved == at else replace(thing, **moved)


@dataclass(frozen=True, slots=True, order=True)
class PressPlace:
    """Place of a press in the one order of all, and at its end its number here."""

    order_us: int
    bench_id: int
    sequence: int
    id: int


@dataclass(frozen=True, slots=True)
class Part:
    """Part of a press in what one thing is: what it changed of it, or how it moved its instants, or both."""

    change: Change | None = None
    move: Move | None = None


def fold(parts: Iterable[Part], *, stays: bool = False) -> Entity | None:
    """Return what a thing is after the parts that presses have in it; nothing where none made it or it is gone.

    One that `stays` is not gone though a press took it out of the record: another bench's rests on it.
    """
    thing: Entity | None = None
    for part in parts:
        now = folded(thing, part)
        thing = thing if stays and now is None else now
    return thing


def folded(thing: Entity | None, part: Part) -> Entity | None:
    """Return a thing after one more part. What a press changed of a thing that is not there is nothing."""
    change, move = part.change, part.move
    if change is not None and (change.before is None or change.after is None):
        return change.after
    if thing is None:
        return None
    moved = thing if move is None else move.of(thing)
    if change is None or change.before is None or change.after is None:
        return moved
    before, after = change.before, change.after
    if move is not None:
        return _put_right(moved, move.of(before), after)
    if thing == before:
        return after
    changed = {name: getattr(after, name) for group in differing(before, after) for name in group}
    return replace(thing, **changed, **_covered(thing, before, after))


def _put_right(thing: Entity, before: Entity, after: Entity) -> Entity:
    """Return a thing with what else a move changed of it: field by field, for the instants are moved already."""
    names = (f.name for f in fields(after))
    return replace(thing, **{name: getattr(after, name) for name in names if _differs(name, before, after)})


def _differs(name: str, before: Entity, after: Entity) -> bool:
    return bool(getattr(before, name) != getattr(after, name))


def differing(before: Entity, after: Entity) -> Iterable[tuple[str, ...]]:
    """Return the groups of fields that a change is about."""
    named = GROUPS.get(type(after), ())
    grouped = {name for group in named for name in group} | {SEVERAL}
    groups = (*named, *((f.name,) for f in fields(after) if f.name not in grouped))
    return (group for group in groups if any(_differs(name, before, after) for name in group))


def _covered(thing: Entity, before: Entity, after: Entity) -> dict[str, Any]:
    """Return who is in a thing once those that a change put in are in and those that it took out are out."""
    here, was, now = (frozenset(getattr(one, SEVERAL, ())) for one in (thing, before, after))
    if was == now:
        return {}
    then = now if here == was else (here - (was - now)) | (now - was)
    if not then:  # somebody has to be in it: who was taken out last stays
        return {SEVERAL: getattr(thing, SEVERAL)}
    return {SEVERAL: getattr(after, SEVERAL) if here == was else tuple(sorted(then))}
