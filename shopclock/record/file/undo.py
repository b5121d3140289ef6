"""Presses that can be taken back, and those that can be put back, newest last; and what each changed."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.fold import FOLDED, PLACE, STANDS, moved_since, moves_of
from shopclock.record.file.schema import CLOCK_RIGHT, JOURNAL, table_name
from shopclock.shop.state.fold import PressPlace
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Interval

DEEP = 500
_BARRIER = f"(SELECT coalesce(max(id), 0) FROM press WHERE what = '{CLOCK_RIGHT}' AND undoable = 0)"  # noqa: S608  # ours
"""Version 1 kept no move of a clock, only values: what was pressed before one there stays."""
_TO_UNDO = f"""SELECT {PLACE}, what, at_us FROM press WHERE bench_id = ? AND undoable = 1 AND id > {_BARRIER}
    AND {FOLDED} AND {STANDS} ORDER BY sequence DESC LIMIT {DEEP}"""  # noqa: S608  # ours
_NEITHER = """(SELECT coalesce(max(sequence), 0) FROM (
    SELECT sequence FROM press WHERE bench_id = ? AND undoable = 1 ORDER BY sequence DESC LIMIT 1))"""
_TO_PUT_BACK = f"""SELECT {PLACE}, press.what, press.at_us FROM press AS newer JOIN taken_back AS one
    ON one.press_id = newer.id AND NOT EXISTS (SELECT 1 FROM taken_back AS back WHERE back.takes_id = newer.id)
    JOIN press ON press.id = one.takes_id AND press.bench_id = newer.bench_id
    WHERE newer.bench_id = ? AND newer.sequence > {_NEITHER} AND newer.id > {_BARRIER}
    AND {FOLDED} AND NOT ({STANDS}) ORDER BY newer.sequence"""  # noqa: S608  # ours


@dataclass(frozen=True, slots=True)
class Pressed:
    """A press that Undo can take back, or Put back put back: its number, what it did and when."""

    id: int
    what: str
    at_us: int


def presses_to_undo(connection: sa.Connection, bench_id: int) -> list[Pressed]:
    """Return a bench's presses that stand and can be taken back, oldest first."""
    rows = connection.exec_driver_sql(_TO_UNDO, (bench_id,)).all()
    return list(_pressed(connection, reversed(rows)))


def presses_to_put_back(connection: sa.Connection, bench_id: int) -> list[Pressed]:
    """Return what a bench's newest Undos took back, the one to be put back first last.

    They end at a press that takes nothing back; looking is none.
    """
    return list(_pressed(connection, connection.exec_driver_sql(_TO_PUT_BACK, (bench_id, bench_id))))


def _pressed(connection: sa.Connection, rows: Iterable[Any]) -> Iterator[Pressed]:
    """Yield presses with the instants that they have after the clocks that were put right since."""
    moves = moves_of(connection)
    for *place, what, at_us in rows:
        yield Pressed(place[-1], what, moved_since(PressPlace(*place), at_us, moves))


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
    columns = (JOURNAL.c.thing, JOURNAL.c.before, JOURNAL.c.after, JOURNAL.c.version)
    for thing, before, after, version in connection.execute(sa.select(*columns).where(*lines).order_by(JOURNAL.c.id)):
        kind = KIND_NAMED[thing]
        yield Change(from_line(kind, before, version), from_line(kind, after, version))
