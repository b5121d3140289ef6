"""Presses that can be taken back, newest last, and what each changed."""

from collections.abc import Iterator
from dataclasses import dataclass

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.schema import CLOCK_RIGHT, JOURNAL, PRESS, table_name
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
    moved = sa.func.max(_last(PRESS.c.moved_us != 0), _last(PRESS.c.what == CLOCK_RIGHT))
    later = PRESS.alias("later")
    taken_back = sa.exists().where(later.c.undoes_id == PRESS.c.id)
    query = (
        sa.select(PRESS.c.id, PRESS.c.what, PRESS.c.at_us)
        .where(
            PRESS.c.bench_id == bench_id,
            PRESS.c.undoable == 1,
            PRESS.c.undoes_id.is_(None),
            ~taken_back,
            PRESS.c.id > moved,
        )
        .order_by(PRESS.c.id.desc())
        .limit(DEEP)
    )
    found = [Pressed(*row) for row in connection.execute(query)]
    return list(reversed(found))


def _last(moves: sa.ColumnElement[bool]) -> sa.ScalarSelect[int]:
    """Find the last press that moved instants; each way has an index of its own, so that nothing is searched."""
    return sa.select(sa.func.coalesce(sa.func.max(PRESS.c.id), 0)).where(moves).scalar_subquery()


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
    query = sa.select(JOURNAL.c.thing, JOURNAL.c.before, JOURNAL.c.after).where(*lines).order_by(JOURNAL.c.id)
    for thing, before, after in connection.execute(query):
        yield Change(from_line(KIND_NAMED[thing], before), from_line(KIND_NAMED[thing], after))
