"""Writing one press: its row, what it changed, the journal's lines, the derived rows."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, fields
from functools import cache, cached_property
from itertools import groupby
from operator import attrgetter
from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects import sqlite

from shopclock.record.file.codec import to_line, to_row, to_values
from shopclock.record.file.schema import (
    CLOCK_MOVE,
    COVERED,
    JOURNAL,
    LABOUR,
    PRESS,
    SHARE,
    STAGE_ROW,
    TABLES,
    TAKEN_BACK,
    VERSION,
    table_name,
)
from shopclock.shop.figures.derive import Derived
from shopclock.shop.figures.trend_rows import TrendRow
from shopclock.shop.state.fold import Move
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import ENTITIES, Entity, Interval, RuleBroken
from shopclock.shop.values.progress import UNWATCHED, Progress

Row = dict[str, Any]
Ranges = dict[str, tuple[int, int]]
"""The first and the last number of some things, by the name of their table."""
WHICH = "which_row"
"""Stands for the number of the row that is meant; no column is called so."""


class Statement:
    """One INSERT, UPDATE or DELETE, run for each of some rows; made into SQL when it is first run.

    A press is small: making its SQL anew would cost more than writing it.
    """

    def __init__(self, clause: sa.Insert | sa.Update | sa.Delete, columns: Sequence[str] | None = None) -> None:
        self._clause = clause
        self._columns = columns

    @cached_property
    def _made(self) -> tuple[str, tuple[str, ...]]:
        made = self._clause.compile(dialect=sqlite.dialect(paramstyle="qmark"), column_keys=self._columns)
        return str(made), tuple(made.positiontup or ())

    def run(self, connection: sa.Connection, rows: Sequence[Mapping[str, Any]]) -> sa.CursorResult[Any]:
        """Run it; `rows` are its values by name, at least one."""
        names = self._made[1]
        return self.run_plain(connection, [tuple([row[name] for name in names]) for row in rows])

    def run_plain(self, connection: sa.Connection, rows: Sequence[tuple[Any, ...]]) -> sa.CursorResult[Any]:
        """Run it; `rows` are its values in the order of its columns, at least one."""
        return connection.exec_driver_sql(self._made[0], rows[0] if len(rows) == 1 else rows)


def press_row(who: tuple[str, int, int], what: str, moment: Moment, at_us: int, *, undoable: bool) -> Row:
    """Return the row of a press: its UUID, bench and maker, what it is called, and what all clocks said."""
    uuid, bench_id, maker_id = who
    told = {"uuid": uuid, "bench_id": bench_id, "maker_id": maker_id, "what": what, "at_us": at_us}
    return {**told, **asdict(moment), "undoable": int(undoable), "moved_us": 0, "reason": ""}


def write_move(connection: sa.Connection, press_id: int, move: Move) -> None:
    """Write how a press moved instants."""
    _to_insert(CLOCK_MOVE).run_plain(connection, [(press_id, move.from_us, move.until_us, move.by_us)])


def write_press(connection: sa.Connection, press: Row, takes: Iterable[int] = ()) -> int:
    """Write the press itself, and which it takes back; returns its number."""
    press_id = int(_to_insert(PRESS).run(connection, [press]).lastrowid)
    if taken := [(press_id, number) for number in takes]:
        _to_insert(TAKEN_BACK).run_plain(connection, taken)
    return press_id


def write_changes(connection: sa.Connection, press_id: int, changes: Sequence[Change]) -> None:
    """Write the net changes of a press and their lines in the journal."""
    for (kind, new, gone), group in groupby(changes, lambda c: (type(c.thing), c.before is None, c.after is None)):
        (_insert if new else _delete if gone else _update)(connection, kind, list(group))
    write_lines(connection, press_id, changes)


def write_lines(connection: sa.Connection, press_id: int, changes: Sequence[Change]) -> None:
    """Write the lines of a press in the journal."""
    if changes:
        _to_insert(JOURNAL).run_plain(connection, [_line(press_id, change) for change in changes])


def insert_things(connection: sa.Connection, things: Sequence[Entity]) -> None:
    """Put things of one kind into their tables that are not there."""
    _insert(connection, type(things[0]), [Change(None, thing) for thing in things])


def _line(press_id: int, change: Change) -> tuple[Any, ...]:
    """Return the values of a line of the journal, in the order of its columns."""
    thing = change.thing
    return press_id, table_name(type(thing)), thing.id, to_line(change.before), to_line(change.after), VERSION


def _insert(connection: sa.Connection, kind: type[Entity], changes: list[Change]) -> None:
    _to_insert(TABLES[kind]).run_plain(connection, [to_values(change.thing) for change in changes])
    _cover(connection, kind, [change.thing for change in changes])


def _update(connection: sa.Connection, kind: type[Entity], changes: list[Change]) -> None:
    rows = [to_row(change.thing) for change in changes]
    _to_update(TABLES[kind]).run(connection, [row | {WHICH: row["id"]} for row in rows])
    recovered = [c.thing for c in changes if _pieces(c.before) != _pieces(c.after)]
    if kind in COVERED and recovered:
        _uncover(connection, kind, recovered)
        _cover(connection, kind, recovered)


def _delete(connection: sa.Connection, kind: type[Entity], changes: list[Change]) -> None:
    if kind in COVERED:
        _uncover(connection, kind, [change.thing for change in changes])
    _to_delete(TABLES[kind].c.id).run(connection, [{WHICH: change.thing.id} for change in changes])


def _pieces(thing: Entity | None) -> tuple[int, ...]:
    return thing.pieces if isinstance(thing, Interval | RuleBroken) else ()


def _cover(connection: sa.Connection, kind: type[Entity], things: list[Entity]) -> None:
    if kind in COVERED:
        rows = [(thing.id, piece) for thing in things for piece in _pieces(thing)]
        if rows:
            _to_insert(COVERED[kind]).run_plain(connection, rows)


def _uncover(connection: sa.Connection, kind: type[Entity], things: list[Entity]) -> None:
    _to_delete(COVERED[kind].c[f"{table_name(kind)}_id"]).run(connection, [{WHICH: thing.id} for thing in things])


_NUMBERED = (PRESS, JOURNAL, STAGE_ROW)
"""These get their numbers from SQLite, all things theirs from us."""


def given_columns(table: sa.Table) -> list[str]:
    """Return the columns of which we give the values."""
    return [c.name for c in table.columns if c.name != "id" or table not in _NUMBERED]


@cache
def _to_insert(table: sa.Table) -> Statement:
    return Statement(table.insert(), given_columns(table))


@cache
def _to_update(table: sa.Table) -> Statement:
    changed: Row = {c.name: sa.bindparam(c.name) for c in table.columns if c.name != "id"}
    return Statement(table.update().where(table.c.id == sa.bindparam(WHICH)).values(changed))


@cache
def _to_delete(column: sa.Column[Any]) -> Statement:
    return Statement(column.table.delete().where(column == sa.bindparam(WHICH)))


def forget_derived(connection: sa.Connection, numbers: Iterable[int]) -> None:
    """Remove the derived rows of these intervals."""
    rows = [{WHICH: number} for number in numbers]
    if rows:
        for table in (LABOUR, SHARE):
            _to_delete(table.c.interval_id).run(connection, rows)


def write_derived(connection: sa.Connection, derived: Derived) -> None:
    """Write labour and shares worked out anew."""
    shares = [(number, piece, us) for number, share in derived.shares.items() for piece, us in share]
    if derived.labour:
        _to_insert(LABOUR).run_plain(connection, list(derived.labour.items()))
    if shares:
        _to_insert(SHARE).run_plain(connection, shares)


_STAGE_VALUES = attrgetter(*(f.name for f in fields(TrendRow)))


def write_stage_rows(connection: sa.Connection, rows: Mapping[int, Sequence[TrendRow]]) -> None:
    """Set anew the stage rows of these batches; a batch that is open again has none."""
    if rows:
        _to_delete(STAGE_ROW.c.batch_id).run(connection, [{WHICH: batch_id} for batch_id in rows])
    plain = [_STAGE_VALUES(row) for some in rows.values() for row in some]
    if plain:
        _to_insert(STAGE_ROW).run_plain(connection, plain)


_BESIDE = {
    "interval": ("interval_piece.interval_id", "labour.interval_id", "share.interval_id"),
    "rule_broken": ("rule_broken_piece.rule_broken_id",),
    "batch": ("stage_row.batch_id",),
}
"""Tables without numbers of their own that tell of things, and by which column."""


def remove(connection: sa.Connection, ranges: Ranges, progress: Progress = UNWATCHED) -> None:
    """Remove all things of these numbers, with their derived rows."""
    names = [name for kind in reversed(ENTITIES) if (name := table_name(kind)) in ranges]
    for done, name in enumerate(names):
        progress.at(done, len(names), "")
        for table, column in (*(beside.split(".") for beside in _BESIDE.get(name, ())), (name, "id")):
            connection.exec_driver_sql(f"DELETE FROM {table} WHERE {column} BETWEEN ? AND ?", ranges[name])  # noqa: S608  # ours


def rewrite_things(connection: sa.Connection, changes: Iterable[Change]) -> None:
    """Put things into their tables as these changes left them, whatever stood there."""
    for kind, group in groupby(changes, key=lambda c: type(c.thing)):
        some = list(group)
        _delete(connection, kind, some)
        if staying := [change for change in some if change.after is not None]:
            _insert(connection, kind, staying)


def forget_all_derived(connection: sa.Connection) -> None:
    """Remove all derived rows."""
    for table in (LABOUR, SHARE, STAGE_ROW):
        connection.execute(table.delete())
