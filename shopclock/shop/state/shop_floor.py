"""The shop floor: everything that open batches need, in memory, as the record has it."""

from collections.abc import Iterable, Iterator
from typing import TypeVar

from shopclock.shop.state.interval_index import IntervalIndex
from shopclock.shop.values.entities import (
    ENTITIES,
    Batch,
    Entity,
    Interval,
    OrderRule,
    Piece,
    Reading,
    Setting,
    Stage,
    Step,
    Tally,
    Word,
)

T = TypeVar("T", bound=Entity)
Share = tuple[int, int]
"""A piece's number and its microseconds."""


class ShopFloor:
    """Things by kind and number, with the few indexes that a press needs.

    It holds the whole set-up of the shop, the open batches, and every interval that ended after
    `horizon_us`. `labour` and `shares` are the derived rows of the ended intervals it holds.
    The memos hold what others worked out from it, until the next change.
    """

    def __init__(self) -> None:
        self._things: dict[type[Entity], dict[int, Entity]] = {kind: {} for kind in ENTITIES}
        self._of_batch: dict[tuple[type[Entity], int], dict[int, Entity]] = {}
        self.hands = IntervalIndex()
        self.labour: dict[int, int] = {}
        self.shares: dict[int, tuple[Share, ...]] = {}
        self.horizon_us = 0
        self.memo: dict[object, object] = {}
        self.order_memo: dict[int, object] = {}

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
        self._forget(thing)

    def drop(self, thing: Entity) -> None:
        """Take a thing away."""
        kind = type(thing)
        del self._things[kind][thing.id]
        batch_id = self._batch_of(thing)
        if batch_id is not None:
            del self._of_batch[kind, batch_id][thing.id]
        self.hands.remove(thing)
        self._forget(thing)

    def _forget(self, thing: Entity) -> None:
        """Drop what was worked out from things as they were."""
        self.memo.clear()
        if isinstance(thing, Step | OrderRule):
            self.order_memo.clear()

    def find(self, kind: type[T], number: int | None) -> T | None:
        """Return a thing by its number, or nothing; no thing has the number None."""
        return self._things[kind].get(number)  # type: ignore[return-value,arg-type]  # kept by kind

    def get(self, kind: type[T], number: int) -> T:
        """Return a thing by its number; a number that isn't there is our own mistake (KeyError)."""
        return self._things[kind][number]  # type: ignore[return-value]  # kept by kind

    def all(self, kind: type[T]) -> Iterator[T]:
        """Yield all things of a kind, in the order they came."""
        yield from list(self._things[kind].values())  # type: ignore[misc]  # kept by kind

    def of_batch(self, kind: type[T], batch_id: int) -> tuple[T, ...]:
        """Return a batch's steps, pieces, intervals, tallies or readings."""
        return tuple(self._of_batch.get((kind, batch_id), {}).values())  # type: ignore[arg-type]  # keyed by kind

    def _batch_of(self, thing: Entity) -> int | None:
        if isinstance(thing, Step | Piece | Interval):
            return thing.batch_id
        if isinstance(thing, Tally | Reading):
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
        return next((s.value for s in self.all(Setting) if s.name == name), None)

    def word(self, name: str) -> Word | None:
        """Return the shop's own word, or nothing."""
        return next((w for w in self.all(Word) if w.name == name), None)
