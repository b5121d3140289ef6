"""Presses that can be taken back, newest last, and what each changed."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.schema import CLOCK_RIGHT, JOURNAL, PRESS, TAKEN_BACK, table_name
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Interval

DEEP = 500


@dataclass(frozen=True, slots=True)
class Pressed:
    """A press that Undo can take back: its number, what it did and when."""

    id: int
    what: str
    at_us: int


def presses_to_undo(connection: sa.Connection, bench_id: int) -> list[Pressed]:
    """Return a bench's presses not yet taken back, oldest first.

    None from before a boot's instants were moved: what the journal holds of them has other times.
    """
    moved = sa.func.coalesce(sa.func.max(PRESS.c.id), 0)
    barrier = sa.select(moved).where(PRESS.c.what == CLOCK_RIGHT, PRESS.c.undoable == 0).scalar_subquery()
    taken_back = sa.exists().where(TAKEN_BACK.c.takes_id == PRESS.c.id)
    query = (
        sa.select(PRESS.c.id, PRESS.c.what, PRESS.c.at_us)
        .where(PRESS.c.bench_id == bench_id, PRESS.c.undoable == 1, ~taken_back, PRESS.c.id > barrier)
        .order_by(PRESS.c.id.desc())
        .limit(DEEP)
    )
    found = [Pressed(*row) for row in connection.execute(query)]
    return list(reversed(found))


def reopens(connection: sa.Connection, press_id: int) -> bool:
    """Tell whether taking a press back would let something run again that has ended."""
    edited = (JOURNAL.c.thing == table_name(Interval), JOURNAL.c.before.is_not(None), JOURNAL.c.after.is_not(None))
    return any(_ended(change) for change in changes_of(connection, press_id, *edited))


def _ended(change: Change) -> bool:
    before, after = change.before, change.after
    return isinstance(before, Interval) and isinstance(after, Interval) and before.running and not after.running


def changes_of(connection: sa.Connection, press_id: int, *where: sa.ColumnElement[bool]) -> Iterator[Change]:
    """Yield what a press changed, in its order; `where` chooses among its lines."""
    lines = (JOURNAL.c.press_id == press_id, *where)
    yield from read_lines(connection, sa.select(*LINE).where(*lines).order_by(JOURNAL.c.id))


LINE = (JOURNAL.c.thing, JOURNAL.c.before, JOURNAL.c.after, JOURNAL.c.version)


def read_lines(connection: sa.Connection, query: sa.Select[Any]) -> Iterator[Change]:
    """Yield the changes that lines of the journal say; the query is for their `LINE`."""
    for thing, before, after, version in connection.execute(query):
        kind = KIND_NAMED[thing]
        yield Change(from_line(kind, before, version), from_line(kind, after, version))
