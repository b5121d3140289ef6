"""Basis of an import while it is worked out beside the record, and which later presses spoil it."""

from collections.abc import Iterable
from dataclasses import dataclass

from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import (
    Batch,
    Entity,
    ImportFile,
    ImportRow,
    Interval,
    Maker,
    Method,
    Pattern,
    Route,
    RouteStep,
    Shop,
    Stage,
)

SET_UP = (Shop, Maker, Stage, Method, Pattern, Route, RouteStep, ImportFile, ImportRow)


@dataclass(frozen=True, slots=True)
class ImportBasis:
    """The time from the first stretch that is brought until it was worked out; batches gone on with, and their steps.

    `names` are those of all batches, in small letters.
    """

    since_us: int
    until_us: int
    batches: frozenset[int] = frozenset()
    steps: frozenset[int] = frozenset()
    names: frozenset[str] = frozenset()

    def spoilt_by(self, changes: Iterable[Change]) -> bool:
        """Tell whether what was worked out may be otherwise after these changes."""
        return any(self._spoilt_by(change) for change in changes)

    def _spoilt_by(self, change: Change) -> bool:
        if isinstance(change.thing, Interval) and _goes_on(change):
            return change.thing.batch_id in self.batches
        return any(self._is_about(thing) for thing in (change.before, change.after) if thing is not None)

    def _is_about(self, thing: Entity) -> bool:
        if isinstance(thing, SET_UP):
            return True
        if isinstance(thing, Batch):
            return thing.id in self.batches or thing.name.casefold() in self.names
        if isinstance(thing, Interval) and thing.start_us < self.until_us:
            return thing.end_us is None or thing.end_us > self.since_us
        return getattr(thing, "batch_id", None) in self.batches or getattr(thing, "step_id", None) in self.steps


def _goes_on(change: Change) -> bool:
    """Tell whether a stretch that ran has only ended, or gone on otherwise: it keeps the time that it had."""
    before, after = change.before, change.after
    if not (isinstance(before, Interval) and isinstance(after, Interval)):
        return False
    return before.running and after.start_us == before.start_us
