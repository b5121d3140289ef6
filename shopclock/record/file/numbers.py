"""The numbers and UUIDs that new things get."""

from __future__ import annotations

import uuid
from itertools import count
from typing import TYPE_CHECKING, NamedTuple

import sqlalchemy as sa

from shopclock.record.file.schema import JOURNAL, PRESS, table_name
from shopclock.shop.values.entities import ENTITIES, Entity
from shopclock.shop.values.ranges import ROOM as RANGE

if TYPE_CHECKING:
    from shopclock.record.file.write import Ranges

ROOM = 10_000
"""So many numbers of each kind are left to what is pressed while a parcel is made and written."""


def given(connection: sa.Connection) -> dict[str, int]:
    """Return the highest number that each table ever gave."""
    rows = connection.exec_driver_sql("SELECT name, seq FROM sqlite_sequence")
    return dict(rows.all())


class Place(NamedTuple):
    """Place of a press in the order of all, and its number among those of its bench."""

    order_us: int
    sequence: int

    def next(self, at_us: int) -> Place:
        """Return the place of the bench's next press: after all that it has seen, whatever its clock says."""
        return Place(max(at_us, self.order_us + 1), self.sequence + 1)


def newest_place(connection: sa.Connection, bench_id: int) -> Place:
    """Return the place of the newest press of all, and how many presses a bench has made."""
    order_us = connection.execute(sa.select(sa.func.coalesce(sa.func.max(PRESS.c.order_us), 0))).scalar_one()
    own = sa.select(sa.func.coalesce(sa.func.max(PRESS.c.sequence), 0)).where(PRESS.c.bench_id == bench_id)
    return Place(order_us, connection.execute(own).scalar_one())


def given_in(connection: sa.Connection, number_range: int) -> dict[str, int]:
    """Return the highest number of a range that each table ever gave; the journal knows it of what is gone too."""
    first, used = number_range * RANGE, given(connection)
    if all(last < first + RANGE for last in used.values()) and number_range == 0:
        return used
    highest = sa.select(sa.func.coalesce(sa.func.max(JOURNAL.c.number), first)).where(
        JOURNAL.c.thing == sa.bindparam("thing"), JOURNAL.c.number.between(first, first + RANGE - 1)
    )
    names = (table_name(kind) for kind in ENTITIES)
    return {name: connection.execute(highest, {"thing": name}).scalar_one() for name in names}


class NextNumbers:
    """Numbers of a bench's range, on from the highest that each table ever gave."""

    def __init__(self, connection: sa.Connection, number_range: int = 0) -> None:
        used = given_in(connection, number_range)
        self._last = {kind: int(used.get(table_name(kind), 0)) for kind in ENTITIES}

    def next(self, kind: type[Entity]) -> int:
        """Return a number that this kind of thing has never had."""
        self._last[kind] += 1
        return self._last[kind]

    def uuid(self) -> str:
        """Return a new UUID."""
        return str(uuid.uuid4())

    def reach(self, taken: Ranges) -> bool:
        """Tell whether numbers have been given from these ranges on."""
        return any(self._last[kind] >= taken.get(table_name(kind), (self._last[kind] + 1, 0))[0] for kind in ENTITIES)

    def go_on_after(self, taken: Ranges) -> None:
        """Give no number up to the ends of these ranges."""
        for kind in ENTITIES:
            self._last[kind] = max(self._last[kind], taken.get(table_name(kind), (0, 0))[1])


class NumbersApart(NextNumbers):
    """Numbers for a parcel, some way on, so that presses can go on beside it; UUIDs that follow each other.

    `last_press` is the last that was made before them. In an index such UUIDs lie side by side: many are written
    to few pages of it.
    """

    def __init__(self, connection: sa.Connection, number_range: int = 0) -> None:
        super().__init__(connection, number_range)
        self._last = {kind: last + ROOM for kind, last in self._last.items()}
        self._before = dict(self._last)
        self.last_press = int(given(connection).get("press", 0))
        self._begin, self._uuids = str(uuid.uuid4())[:-10], count()

    def uuid(self) -> str:
        """Return the next UUID: version 4, of which the last 40 bits count."""
        return f"{self._begin}{next(self._uuids):010x}"

    def ranges(self) -> Ranges:
        """Return what was given of each kind."""
        given_now = {table_name(kind): (self._before[kind] + 1, last) for kind, last in self._last.items()}
        return {of: span for of, span in given_now.items() if span[1] >= span[0]}
