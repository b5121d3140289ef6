"""Things that are otherwise than pressed, and whether a press bears on them: most don't, and cost nothing more."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.schema import VERSION
from shopclock.record.read.load import read
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Batch, Both, Entity, Interval, Leaving, Piece, Step, Tally
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.ranges import whole_of

EVER = 2**63
POINTERS = ("interval_id", "other_id", "continues_id", "about_id")
"""Fields that may point at a part of an interval."""
CUT = (
    "That stretch was cut where another bench's work begins. Nothing was changed. "
    "Amend the part after it, or that other work."
)


@dataclass(frozen=True, slots=True)
class Corrected:
    """Things that benches contradict each other about, as far as a press can bear on it.

    `stretches` are makers, batches and the ends of corrected intervals; `batches` those with anything corrected;
    `opened` those that are open again; `gone_on` the intervals that corrected ones were pressed to go on from; `kinds`
    whatever else is corrected.
    """

    stretches: tuple[tuple[int, int | None, int], ...] = ()
    batches: frozenset[int] = frozenset()
    opened: frozenset[int] = frozenset()
    gone_on: frozenset[int] = frozenset()
    kinds: frozenset[type[Entity]] = field(default_factory=frozenset)

    @classmethod
    def of(cls, connection: sa.Connection) -> "Corrected":
        """Read what is corrected in a record."""
        stretches: list[tuple[int, int | None, int]] = []
        batches: set[int] = set()
        opened: set[int] = set()
        gone_on: set[int] = set()
        kinds: set[type[Entity]] = set()
        for thing, number, pressed in connection.exec_driver_sql("SELECT thing, number, pressed FROM corrected").all():
            kind = KIND_NAMED[thing]
            as_pressed = from_line(kind, pressed, VERSION)
            if isinstance(as_pressed, Interval):
                row = next(iter(read(connection, Interval, "id = :number", number=number)), as_pressed)
                end_us = EVER if row.end_us is None else row.end_us
                stretches.append((as_pressed.maker_id, as_pressed.batch_id, end_us))
                batches |= {as_pressed.batch_id} if as_pressed.batch_id is not None else set()
                gone_on |= {as_pressed.continues_id} if as_pressed.continues_id is not None else set()
            elif isinstance(as_pressed, Tally | Leaving):
                step = next(iter(read(connection, Step, "id = :number", number=as_pressed.step_id)), None)
                batches |= {step.batch_id} if step is not None else set()
            elif isinstance(as_pressed, Piece):
                batches.add(as_pressed.batch_id)
                kinds.add(kind)
            elif as_pressed is not None:
                kinds.add(kind)
                if kind is Batch:
                    opened.add(number)
        sets = frozenset(batches), frozenset(opened), frozenset(gone_on), frozenset(kinds)
        return cls(tuple(stretches), *sets)

    def bears_on(self, floor: ShopFloor, changes: Iterable[Change]) -> bool:
        """Tell whether changes may make something of it another thing; a part that they point at is one.

        Work in a closed batch may, and work with a piece that has ended: whether it opens the batch again, or is cut,
        rests on whose it is, and on when.
        """
        sides = [thing for change in changes for thing in (change.before, change.after) if thing is not None]
        if any(_has_ended(floor, thing) for thing in sides):
            return True
        if not (self.stretches or self.batches or self.kinds):
            return False
        return any(self._near(floor, thing) for thing in sides)

    def _near(self, floor: ShopFloor, thing: Entity) -> bool:
        if type(thing) in self.kinds or _at_whole(thing) != thing:
            return True
        if isinstance(thing, Interval):
            if thing.id in self.gone_on or thing.continues_id in self.gone_on or thing.batch_id in self.opened:
                return True
            own = thing.maker_id, thing.batch_id
            return any(
                thing.start_us <= end for maker, batch, end in self.stretches if maker == own[0] or batch == own[1]
            )
        if isinstance(thing, Tally | Leaving):
            return floor.get(Step, thing.step_id).batch_id in self.batches
        if isinstance(thing, Batch | Piece | Step):
            return (thing.id if isinstance(thing, Batch) else thing.batch_id) in self.batches
        return isinstance(thing, Both)


def _has_ended(floor: ShopFloor, thing: Entity) -> bool:
    """Tell whether something is work whose batch or one of whose pieces has ended."""
    if not isinstance(thing, Interval):
        return False
    batch, pieces = floor.find(Batch, thing.batch_id), (floor.find(Piece, number) for number in thing.pieces)
    closed = batch is not None and batch.closed_us is not None
    return closed or any(piece is not None and not piece.living for piece in pieces)


def at_wholes(changes: Sequence[Change]) -> list[Change]:
    """Return changes that point at whole intervals alone. Refused where one is about a part cut off another."""
    if any(change.thing.id < 0 for change in changes):
        raise Refusal(CUT)
    return [Change(_at_whole(c.before), _at_whole(c.after)) for c in changes]


def _at_whole(thing: Entity | None) -> Entity | None:
    pointers = {name: getattr(thing, name, None) for name in POINTERS}
    parts: dict[str, Any] = {
        name: whole_of(number) for name, number in pointers.items() if isinstance(number, int) and number < 0
    }
    return thing if thing is None or not parts else replace(thing, **parts)
