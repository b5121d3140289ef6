"""A parcel: all that one large press brings, worked out beside the record and written to a file of its own.

Making it may take a while and is done in another process. What is new waits in the file, in tables like the record's,
to be taken in one transaction; what it changes of things that are there, which is little, comes back by itself.
"""

from __future__ import annotations

import contextlib
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import sqlalchemy as sa

from shopclock.record.file import write
from shopclock.record.file.closed import rows_to_write
from shopclock.record.file.engine import connect, raw, uri_of
from shopclock.record.file.error_text import error_text
from shopclock.record.file.schema import PRESS, every_table
from shopclock.record.file.undo import changes_of
from shopclock.shop.figures.derive import Derived, derive, touched
from shopclock.shop.state.desk_copy import check_older
from shopclock.shop.state.transaction import Change, Transaction, net
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path

    from shopclock.record.file.numbers import NextNumbers
    from shopclock.record.file.write import Ranges
    from shopclock.record.read.read_only import ReadOnlyRecord
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.notes.import_basis import ImportBasis


AT_ONCE = 5_000
"""Things that are written to the file between two words on how far it is."""
SPOILT = "The record was changed meanwhile in what this is about. Nothing of it is in. Bring it in again."


@dataclass(frozen=True, slots=True)
class Parcel:
    """Parcel of a large press: the file of what is new, its numbers, and what changes of what is there.

    `after` is the last press that it knows of, `rests_on` what none after that may have changed.
    """

    file: Path
    ranges: Ranges
    after: int
    rests_on: ImportBasis
    changes: tuple[Change, ...] = ()
    derived: Derived = field(default_factory=Derived)
    stage_rows: Mapping[int, tuple[TrendRow, ...]] = field(default_factory=dict)

    @property
    def size(self) -> int:
        """Number of new things."""
        return sum(last - first + 1 for first, last in self.ranges.values())

    @contextlib.contextmanager
    def beside(self, engine: sa.Engine) -> Iterator[None]:
        """Have its file beside the record for one transaction; it is gone afterwards, whatever came of it."""
        if not self.file.is_file():
            raise ShopError("What was worked out is there no more. Nothing was changed. Have it worked out again.")
        connection = raw(engine)
        connection.execute("ATTACH ? AS parcel", (uri_of(self.file),))
        try:
            yield
        finally:
            connection.execute("DETACH parcel")
            self.file.unlink(missing_ok=True)

    def refuse_if_spoilt(self, connection: sa.Connection, numbers: NextNumbers) -> None:
        """ShopError where a press that was made since has changed what it rests on, or has had its numbers."""
        later = sa.select(PRESS.c.id, PRESS.c.moved_us).where(PRESS.c.id > self.after).order_by(PRESS.c.id)
        found = connection.execute(later).all()
        if numbers.reach(self.ranges) or any(
            moved or self.rests_on.spoilt_by(changes_of(connection, press)) for press, moved in found
        ):
            raise ShopError(SPOILT)

    def write(self, connection: sa.Connection, press_id: int, progress: Progress) -> None:
        """Write all of it as a press that is written already; its file is beside the record."""
        tables = [table for table in every_table() if table is not PRESS]
        for done, table in enumerate(tables):
            progress.at(done, len(tables), "")
            names = write.given_columns(table)
            values = [":press_id" if name == "press_id" else f'"{name}"' for name in names]
            into, of = (", ".join(f'"{name}"' for name in names), ", ".join(values))
            copy = f"INSERT INTO main.{table.name} ({into}) SELECT {of} FROM parcel.{table.name}"  # noqa: S608  # ours
            connection.exec_driver_sql(copy, {"press_id": press_id})
        connection.exec_driver_sql("DELETE FROM sqlite_sequence WHERE seq = 0")  # left by what copies no row
        write.write_changes(connection, press_id, self.changes)
        write.forget_derived(connection, self.derived.labour)
        write.write_derived(connection, self.derived)
        write.write_stage_rows(connection, self.stage_rows)


def pack(
    reading: ReadOnlyRecord,
    file: Path,
    rule: Callable[[Transaction], ImportBasis],
    now_us: int,
    maker_id: int,
    progress: Progress = UNWATCHED,
) -> Parcel:
    """Run a rule on a floor that is thrown away afterwards, and write what it makes to a new file."""
    numbers = reading.numbers_apart
    tx = Transaction(reading.floor, numbers, now_us, maker_id)
    rests_on = rule(tx)
    check_older(reading.floor, tx.changes)
    changes = net(tx.changes)
    intervals = touched(reading.floor, changes)
    progress.at(0, 0, "")
    derived = derive(reading.floor, intervals)
    progress.at(0, 0, "")
    reading.floor.labour.update(derived.labour)
    reading.floor.shares.update(derived.shares)
    rows = rows_to_write(reading.floor, changes, intervals, now_us)
    ranges = numbers.ranges()
    new = [change for change in changes if change.before is None]
    with error_text(file), _new_file(file) as connection:
        for done in range(0, len(new), AT_ONCE):
            progress.at(done, len(new), "")
            write.write_changes(connection, 0, new[done : done + AT_ONCE])
        write.write_derived(connection, _part(derived, ranges, new=True))
        write.write_stage_rows(connection, {n: some for n, some in rows.items() if _within(n, ranges, "batch")})
    return Parcel(
        file,
        ranges,
        numbers.last_press,
        rests_on,
        tuple(change for change in changes if change.before is not None),
        _part(derived, ranges, new=False),
        {n: some for n, some in rows.items() if not _within(n, ranges, "batch")},
    )


@contextlib.contextmanager
def _new_file(file: Path) -> Iterator[sa.Connection]:
    """Give a file with the record's tables, to be written in one go, gone again unless it gets whole."""
    file.unlink(missing_ok=True)
    file.touch(0o600)
    engine = sa.create_engine("sqlite://", poolclass=sa.StaticPool, creator=lambda: _connect(file))
    try:
        with engine.begin() as connection:
            connection.exec_driver_sql("BEGIN")
            for table in every_table():
                columns = ", ".join(f'"{name}"' for name in write.given_columns(table))
                connection.exec_driver_sql(f"CREATE TABLE {table.name} ({columns})")
            yield connection
    except BaseException:
        file.unlink()
        raise
    finally:
        engine.dispose()


def _connect(file: Path) -> sqlite3.Connection:
    connection = connect(file)
    connection.isolation_level = None
    for pragma in ("journal_mode = OFF", "synchronous = OFF"):
        connection.execute(f"PRAGMA {pragma}")
    return connection


def _part(derived: Derived, ranges: Ranges, *, new: bool) -> Derived:
    name = Interval.__name__.lower()
    return Derived(
        {n: us for n, us in derived.labour.items() if _within(n, ranges, name) is new},
        {n: share for n, share in derived.shares.items() if _within(n, ranges, name) is new},
    )


def _within(number: int, ranges: Ranges, of: str) -> bool:
    first, last = ranges.get(of, (1, 0))
    return first <= number <= last
