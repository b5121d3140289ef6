"""One press while it is being worked out: what it changes, and how to take it back."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, Protocol, TypeVar, cast

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Entity
from shopclock.shop.values.kinds import Certainty

T = TypeVar("T", bound=Entity)


class Numbers(Protocol):
    """Gives numbers and UUIDs to new things."""

    def next(self, kind: type[Entity]) -> int:
        """Return a number that this kind of thing has never had."""

    def uuid(self) -> str:
        """Return a new UUID."""


@dataclass(frozen=True, slots=True)
class Change:
    """One thing before and after; nothing before is new, nothing after is gone. Never both."""

    before: Entity | None
    after: Entity | None

    @property
    def thing(self) -> Entity:
        """The thing, whichever side it stands on."""
        return self.after if self.after is not None else cast("Entity", self.before)


class Transaction:
    """The changes of one press. They stand on the floor at once; `take_back` removes them.

    `sure` is how well its own instant is known: estimated while the machine's clock is empty. `reason`
    is why the maker makes it, where that was said.
    """

    def __init__(
        self, floor: ShopFloor, numbers: Numbers, now_us: int, maker_id: int, sure: Certainty = Certainty.PRESSED
    ) -> None:
        self.sure = sure
        self.floor = floor
        self.now_us = now_us
        self.maker_id = maker_id
        self.changes: list[Change] = []
        self.warnings: list[str] = []
        self.reason = ""
        self._numbers = numbers

    def add(self, thing: T) -> T:
        """Set a new thing on the floor; returns it with the number and the UUID that it gets here."""
        numbered = replace(thing, id=self._numbers.next(type(thing)), uuid=self._numbers.uuid())
        self._apply(Change(None, numbered))
        return numbered

    def current(self, thing: T) -> T:
        """Return a thing as the floor holds it now: what every change starts from."""
        return self.floor.get(type(thing), thing.id)

    def change(self, thing: T) -> T:
        """Set a thing, changed, in the place of what the floor holds; nothing is noted when nothing differs."""
        before = self.current(thing)
        if thing != before:
            self._apply(Change(before, thing))
        return thing

    def drop(self, thing: Entity) -> None:
        """Take a thing out of the record."""
        self._apply(Change(self.current(thing), None))

    def restore(self, change: Change) -> None:
        """Turn one earlier change round."""
        self._apply(Change(change.after, change.before))

    def take(self, change: Change) -> None:
        """Make a change as it is: its thing has a number and a UUID already."""
        self._apply(change)

    def take_back(self) -> None:
        """Leave the floor as it was before this press."""
        for change in reversed(self.changes):
            _place(self.floor, Change(change.after, change.before))
        self.changes.clear()

    def _apply(self, change: Change) -> None:
        _place(self.floor, change)
        self.changes.append(change)


def _place(floor: ShopFloor, change: Change) -> None:
    if change.after is not None:
        floor.put(change.after)
    elif change.before is not None:
        floor.drop(change.before)


Rule = Callable[[Transaction], Any]
"""What a press does: a function of one turn."""


def net(changes: Iterable[Change]) -> list[Change]:
    """Return the changes of a press with each thing once: as it was before, as it is after."""
    found: dict[tuple[type[Entity], int], Change] = {}
    for change in changes:
        key = (type(change.thing), change.thing.id)
        first = found.get(key)
        found[key] = change if first is None else Change(first.before, change.after)
    return [change for change in found.values() if change.before != change.after]
