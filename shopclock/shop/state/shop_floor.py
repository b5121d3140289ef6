"""The shop floor: everything that open batches need, in memory, as the record has it."""

from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterable, Iterator
from typing import Any, Generic, TypeVar

from shopclock.shop.values.entities import (
    ENTITIES,
    Batch,
    Entity,
    Interval,
    Leaving,
    Piece,
    Reading,
    Setting,
    Stage,
    Step,
    Tally,
    Word,
)
from shopclock.shop.values.kinds import MarkedBy
from shopclock.shop.values.ranges import range_of

T = TypeVar("T", bound=Entity)
K = TypeVar("K")
V = TypeVar("V")
Share = tuple[int, int]
"""A piece's number and its microseconds."""


class IntervalIndex:
    """Finds what runs, what overlaps, what continues what, and the pieces done and lost in an interval."""

    def __init__(self) -> None:
        self.running: dict[int, Interval] = {}
        self.continued: dict[int, int] = {}
        self.ended: dict[int, list[tuple[int, int, int]]] = {}
        self._longest: dict[int, int] = {}
        self._done: dict[int, dict[int, Tally]] = {}
        self._lost: dict[int, dict[int, Leaving]] = {}

    def add(self, thing: Entity) -> None:
        """Take up an interval, a tally or a loss; other things don't matter here."""
        if isinstance(thing, Leaving):
            self._lost.setdefault(thing.interval_id, {})[thing.id] = thing
        if isinstance(thing, Tally) and thing.how is MarkedBy.DONE and thing.interval_id is not None:
            self._done.setdefault(thing.interval_id, {})[thing.id] = thing
        if not isinstance(thing, Interval):
            return
        if thing.continues_id is not None:
            self.continued[thing.continues_id] = thing.id
        if thing.end_us is None:
            self.running[thing.id] = thing
        elif thing.kind.attended:
            insort(self.ended.setdefault(thing.maker_id, []), (thing.end_us, thing.id, thing.start_us))
            self._longest[thing.maker_id] = max(thing.end_us - thing.start_us, self._longest.get(thing.maker_id, 0))

    def remove(self, thing: Entity) -> None:
        """Forget an interval, a tally or a loss as it was added."""
        if isinstance(thing, Leaving):
            self._lost.get(thing.interval_id, {}).pop(thing.id, None)
        if isinstance(thing, Tally) and thing.interval_id is not None:
            self._done.get(thing.interval_id, {}).pop(thing.id, None)
        if not isinstance(thing, Interval):
            return
        if thing.continues_id is not None and self.continued.get(thing.continues_id) == thing.id:
            del self.continued[thing.continues_id]
        if thing.end_us is None:
            self.running.pop(thing.id, None)
        elif thing.kind.attended:
            ended = self.ended[thing.maker_id]
            del ended[bisect_left(ended, (thing.end_us, thing.id, thing.start_us))]

    def done_in(self, interval: Interval) -> list[Tally]:
        """Return the pieces marked one by one in an interval, oldest first."""
        found = self._done.get(interval.id, {}).values()
        return sorted(found, key=lambda tally: (tally.at_us, tally.id))

    def lost_in(self, interval: Interval) -> list[Leaving]:
        """Return what was lost, set aside or cut down under the hands in an interval, oldest first."""
        found = (loss for loss in self._lost.get(interval.id, {}).values() if loss.in_hand)
        return sorted(found, key=lambda loss: (loss.at_us, loss.id))

    def ended_after(self, maker_id: int, at_us: int, began_before_us: int | None = None) -> list[int]:
        """Return the attended intervals of a maker that ended after an instant, by number.

        With another instant given, only those that began before that.
        """
        ended = self.ended.get(maker_id, [])
        first, beyond = bisect_right(ended, (at_us, 2**63)), len(ended)
        if began_before_us is not None:  # what ends later than the longest lasts has begun later
            beyond = bisect_left(ended, (began_before_us + self._longest.get(maker_id, 0),))
        late = ended[first:beyond]
        return [number for _, number, start in late if began_before_us is None or start < began_before_us]

    def last_ended(self, maker_id: int) -> list[int]:
        """Return the attended intervals of a maker that ended last, at one and the same instant."""
        ended = self.ended.get(maker_id, [])
        if not ended:
            return []
        return [number for _, number, _ in ended[bisect_right(ended, (ended[-1][0], -1)) :]]


class Memo(Generic[K, V]):
    """A slot for what is worked out from a floor, by key: emptied by its next change, or by the next of some kinds."""

    def __init__(self, *kinds: type[Entity]) -> None:
        self.kinds = kinds


class ShopFloor:
    """Things by kind and number, with the few indexes that a press needs.

    It holds the whole set-up of the shop, the open batches, and every interval that ended after
    `horizon_us`. `labour` and `shares` are the derived rows of the ended intervals it holds. `range` is the number
    range of the bench that it is looked at from.
    """

    def __init__(self) -> None:
        self._things: dict[type[Entity], dict[int, Any]] = {kind: {} for kind in ENTITIES}
        self._of_batch: dict[tuple[type[Entity], int], dict[int, Any]] = {}
        self.hands = IntervalIndex()
        self.labour: dict[int, int] = {}
        self.shares: dict[int, tuple[Share, ...]] = {}
        self.horizon_us = 0
        self.range = 0
        self._memos: dict[Memo[Any, Any], dict[Any, Any]] = {}

    @property
    def running(self) -> dict[int, Interval]:
        """The intervals that have no end yet, by number."""
        return self.hands.running

    def put(self, thing: Entity) -> None:
        """Set a thing in its place, whether it is new or changed."""
        kind = type(thing)
        before = self._things[kind].get(thing.id)
        batch_id = self._batch_of(thing)
        if before is not None:
            self.hands.remove(before)
            former = self._batch_of(before)
            if former is not None and former != batch_id:
                del self._of_batch[kind, former][thing.id]
        self._things[kind][thing.id] = thing
        if batch_id is not None:
            self._of_batch.setdefault((kind, batch_id), {})[thing.id] = thing
        self.hands.add(thing)
        self.forget(thing)

    def drop(self, thing: Entity) -> None:
        """Take a thing away."""
        kind = type(thing)
        del self._things[kind][thing.id]
        batch_id = self._batch_of(thing)
        if batch_id is not None:
            del self._of_batch[kind, batch_id][thing.id]
        self.hands.remove(thing)
        self.forget(thing)

    def memo(self, slot: Memo[K, V]) -> dict[K, V]:
        """Return what a slot holds now, to be added to by whoever works it out."""
        return self._memos.setdefault(slot, {})

    def made_here(self, thing: Entity) -> bool:
        """Tell whether a thing was made at the bench that the floor is looked at from."""
        return range_of(thing.id) == self.range

    def renew(self, other: "ShopFloor") -> None:
        """Become as another floor is."""
        for name in ("_things", "_of_batch", "hands", "labour", "shares", "horizon_us", "range"):
            setattr(self, name, getattr(other, name))
        self._memos.clear()

    def forget(self, thing: Entity | None = None) -> None:
        """Empty the memos that a change of a thing, or of what is derived, spoils."""
        for slot in list(self._memos):
            if not slot.kinds or isinstance(thing, slot.kinds):
                del self._memos[slot]

    def find(self, kind: type[T], number: int | None) -> T | None:
        """Return a thing by its number, or nothing; no thing has the number None."""
        things: dict[int, T] = self._things[kind]
        return things.get(number) if number is not None else None

    def get(self, kind: type[T], number: int) -> T:
        """Return a thing by its number; a number that isn't there is our own mistake (KeyError)."""
        things: dict[int, T] = self._things[kind]
        return things[number]

    def all(self, kind: type[T]) -> Iterator[T]:
        """Yield all things of a kind, in the order they came."""
        yield from list(self._things[kind].values())

    def of_batch(self, kind: type[T], batch_id: int) -> tuple[T, ...]:
        """Return a batch's steps, pieces, intervals, tallies, leavings or readings."""
        return tuple(self._of_batch.get((kind, batch_id), {}).values())

    def _batch_of(self, thing: Entity) -> int | None:
        if isinstance(thing, Step | Piece | Interval):
            return thing.batch_id
        if isinstance(thing, Tally | Leaving | Reading):
            return self.get(Step, thing.step_id).batch_id
        return None

    def open_batches(self) -> tuple[Batch, ...]:
        """Return the batches that are not closed, oldest first."""
        found = [batch for batch in self.all(Batch) if batch.closed_us is None]
        return tuple(sorted(found, key=lambda batch: (batch.started_us, batch.id)))

    def steps(self, batch_id: int) -> tuple[Step, ...]:
        """Return a batch's steps in the order of its route."""
        return tuple(sorted(self.of_batch(Step, batch_id), key=lambda s: (s.position, s.id)))

    def pieces(self, batch_id: int) -> tuple[Piece, ...]:
        """Return a batch's pieces by mark."""
        return tuple(sorted(self.of_batch(Piece, batch_id), key=lambda p: (p.position, p.id)))

    def living(self, batch_id: int) -> tuple[Piece, ...]:
        """Return the pieces of a batch that have no outcome yet."""
        return tuple(piece for piece in self.pieces(batch_id) if piece.living)

    def tallies_of(self, step: Step) -> tuple[Tally, ...]:
        """Return what was marked as through at a step, oldest first."""
        found = [t for t in self.of_batch(Tally, step.batch_id) if t.step_id == step.id]
        return tuple(sorted(found, key=lambda t: (t.at_us, t.id)))

    def marks(self, pieces: Iterable[int]) -> list[str]:
        """Return the marks of pieces, in their order."""
        found = sorted((self.get(Piece, p) for p in pieces), key=lambda p: (p.position, p.id))
        return [piece.mark for piece in found]

    def stage_by_name(self, name: str) -> Stage | None:
        """Find a stage by its name, whatever its capitals."""
        wanted = name.casefold()
        return next((s for s in self.all(Stage) if s.name.casefold() == wanted), None)

    def setting(self, name: str) -> str | None:
        """Return a setting as it was stored, or nothing."""
        return next((s.value for s in self.all(Setting) if s.name == name and self.applies(s)), None)

    def applies(self, setting: Setting) -> bool:
        """Tell whether a setting is one of this bench: how a window looks, and its ruler, are each bench's own."""
        return not setting.of_bench or self.made_here(setting)

    def word(self, name: str) -> Word | None:
        """Return the shop's own word, or nothing."""
        return next((w for w in self.all(Word) if w.name == name), None)


def unbroken(floor: ShopFloor, interval: Interval) -> Iterator[Interval]:
    """Yield a stretch and what it goes on from without a gap at the same step, for the same sort of work.

    What was split because something about it changed is still the same: a wait doesn't begin anew by it.
    """
    yield interval
    before = floor.find(Interval, interval.continues_id or 0)
    while before is not None and before.end_us == interval.start_us:
        if (before.step_id, before.kind, before.work) != (interval.step_id, interval.kind, interval.work):
            return
        yield before
        interval, before = before, floor.find(Interval, before.continues_id or 0)


def began_us(floor: ShopFloor, interval: Interval, piece_id: int) -> int:
    """Return when a stretch began for a piece: one that was put in later came to it at a split."""
    at_us = interval.start_us
    for part in unbroken(floor, interval):
        if piece_id not in part.pieces:
            break
        at_us = part.start_us
    return at_us


def since_us(floor: ShopFloor, interval: Interval) -> int:
    """Return when a stretch began for the first of those in it."""
    return min((began_us(floor, interval, piece) for piece in interval.pieces), default=interval.start_us)


def last_since_us(floor: ShopFloor, interval: Interval) -> int:
    """Return when a stretch began for the last of those in it; worked out once until the next change."""
    known = floor.memo(_LAST_SINCE)
    if interval not in known:
        began = (began_us(floor, interval, piece) for piece in interval.pieces)
        known[interval] = max(began, default=interval.start_us)
    return known[interval]


_LAST_SINCE: Memo[Interval, int] = Memo()
