"""Building a record again from its journal, and comparing two records row by row."""

from collections.abc import Iterable, Iterator
from itertools import groupby, islice
from operator import itemgetter
from pathlib import Path

import sqlalchemy as sa

from shopclock.record.check.journal import folded_things
from shopclock.record.file import write
from shopclock.record.file.engine import copy, raw, uri_of, writer
from shopclock.record.file.error_text import error_text
from shopclock.record.file.on_disk import make_file
from shopclock.record.file.opening import open_reader
from shopclock.record.file.schema import (
    CLOCK_MOVE,
    JOURNAL,
    METADATA,
    PRESS,
    STAGE_ROW,
    TAKEN_BACK,
    create,
    every_table,
)
from shopclock.record.file.session import Pressed
from shopclock.record.joining.rework import make_whole, several, work_out_anew
from shopclock.shop.values.errors import ShopError

AT_ONCE = 2000


def rebuild(path: Path, into: Path, base: Path | None = None) -> list[str]:
    """Build a record again at `into` (a new file) from the journal of the record at `path`.

    It begins empty, or with a copy of `base`: an earlier state of the record, of this version. Everything is folded
    of the presses that stand; labour, shares and stage rows are worked out anew. Returns the lines of the journal
    that can't be so, by their thing and press.
    """
    if into.exists():
        raise ShopError(f"{into} is there already. Nothing was changed.")
    source = open_reader(path)
    with error_text(path), source.begin() as old, error_text(into):
        _reserve(into)
        if base is not None:
            copy(base, into)
        return _fill(old, into, empty=base is None)


def rebuild_on(presses: Iterable[Pressed], into: Path) -> None:
    """Have on an earlier state of a record, which is changed, the presses that came after it, each with its lines."""
    trace = sa.create_engine("sqlite://", poolclass=sa.StaticPool)
    try:
        with trace.begin() as old:
            METADATA.create_all(old, every_table())
            for pressed in presses:
                _write_trace(old, pressed)
            with error_text(into):
                _fill(old, into, empty=False)
    finally:
        trace.dispose()


def _write_trace(old: sa.Connection, pressed: Pressed) -> None:
    for lines in pressed.lines:
        names, values = ", ".join(lines.columns), ", ".join("?" * len(lines.columns))
        for row in lines.rows:
            old.exec_driver_sql(f"INSERT INTO {lines.table} ({names}) VALUES ({values})", row)  # noqa: S608  # ours


def _reserve(into: Path) -> None:
    make_file(into)


def _fill(old: sa.Connection, into: Path, *, empty: bool) -> list[str]:
    target = writer(into)
    try:
        _hurry(target, hurry=True)
        with target.begin() as new:
            if empty:
                create(new)
            after = new.execute(sa.select(sa.func.coalesce(sa.func.max(JOURNAL.c.id), 0))).scalar_one()
            _copy_trace(old, new)
            if several(old) or several(new):
                wrong = []
                make_whole(new)
            else:
                wrong = _write_things(new, after)
                work_out_anew(new)
            _keep_numbers(old, new, after)
        _hurry(target, hurry=False)
        return wrong
    finally:
        target.dispose()


def _hurry(target: sa.Engine, *, hurry: bool) -> None:
    """Flush nothing and look at no pointer while a new file is filled in any order; do both at the end."""
    connection = raw(target)
    connection.execute(f"PRAGMA synchronous = {'OFF' if hurry else 'FULL'}")
    connection.execute(f"PRAGMA cache_size = {-64_000 if hurry else -2_000}")
    connection.execute(f"PRAGMA foreign_keys = {'OFF' if hurry else 'ON'}")
    if not hurry:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        if lost := connection.execute("PRAGMA foreign_key_check").fetchall():
            raise ShopError(f"The journal lacks what {len(lost)} rows point at.")


def _copy_trace(old: sa.Connection, new: sa.Connection) -> None:
    """Copy presses and journal, on from those that the new record has."""
    for table in (PRESS, TAKEN_BACK, CLOCK_MOVE, JOURNAL):
        number = next(iter(table.primary_key))
        last = new.execute(sa.select(sa.func.coalesce(sa.func.max(number), 0))).scalar_one()
        query = sa.select(table).where(number > last).order_by(number)
        result = old.execute(query, execution_options={"yield_per": AT_ONCE})
        for rows in result.mappings().partitions():
            new.execute(table.insert(), [dict(row) for row in rows])


def _write_things(new: sa.Connection, after: int) -> list[str]:
    """Write every thing that has a line after one, as all of its lines make it; return the lines that can't be so."""
    wrong: list[str] = []
    for thing, found in groupby(folded_things(new, after), key=itemgetter(0)):
        folded = (one for _, one in found)
        while some := list(islice(folded, AT_ONCE)):
            write.rewrite_things(new, [one.change for one in some])
            wrong += [f"{thing} {one.change.thing.id} in press {press}" for one in some for press in one.wrong]
    return wrong


def _keep_numbers(old: sa.Connection, new: sa.Connection, after: int) -> None:
    """Give no number again that the journal has ever given, to things that are gone either."""
    query = (
        sa.select(JOURNAL.c.thing, sa.func.max(JOURNAL.c.number)).where(JOURNAL.c.id > after).group_by(JOURNAL.c.thing)
    )
    for thing, number in old.execute(query):
        used = new.exec_driver_sql("SELECT seq FROM sqlite_sequence WHERE name = ?", (thing,)).scalar_one_or_none()
        if used is None:
            new.exec_driver_sql("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", (thing, number))
        elif used < number:
            new.exec_driver_sql("UPDATE sqlite_sequence SET seq = ? WHERE name = ?", (number, thing))


def differences(one: Path, other: Path) -> dict[str, int]:
    """Compare two records row by row; how many rows differ in each table that isn't the same."""
    with error_text(one), open_reader(one).connect() as connection:
        connection.exec_driver_sql("ATTACH ? AS other", (uri_of(other),))
        found = {}
        for name, columns in _compared(several(connection)):
            sides = (("main", "other"), ("other", "main"))
            if rows := sum(_only_in(connection, name, columns, *pair) for pair in sides):
                found[name] = rows
        return found


def _compared(several: bool) -> Iterator[tuple[str, list[str]]]:  # told apart by name
    """Yield every table and its columns; a stage row's own number says nothing and is left out.

    With several benches each gives numbers of its own, of which no table keeps the last.
    """
    for table in every_table():
        yield table.name, [column.name for column in table.columns if table is not STAGE_ROW or column.name != "id"]
    if not several:
        yield "sqlite_sequence", ["name", "seq"]


def _only_in(connection: sa.Connection, name: str, columns: list[str], one: str, other: str) -> int:
    """Count the rows that one of them has and the other has not, or not as often."""
    row = ", ".join(columns)
    own, others = (f"SELECT {row}, count(*) FROM {side}.{name} GROUP BY {row}" for side in (one, other))  # noqa: S608  # ours
    return int(connection.exec_driver_sql(f"SELECT count(*) FROM ({own} EXCEPT {others})").scalar_one())  # noqa: S608
