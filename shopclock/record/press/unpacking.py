"""Taking a parcel into the record in slices: each is short, none is seen, until one last small commit shows all.

Between two slices anything may be pressed. Stopping removes what was taken, in slices as well; what a kill leaves is
removed when the record is opened next.
"""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.record.file import coming
from shopclock.record.file.engine import log_of
from shopclock.record.file.error_text import error_text
from shopclock.record.file.schema import JOURNAL, STAGE_ROW, every_table
from shopclock.record.read.parcel import Parcel
from shopclock.shop.notes.import_basis import ImportBasis
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    import sqlalchemy as sa

SLICE_US = 4_000
"""A slice aims at so much, so that it stays under 10 ms when the disk is a little slower once."""
FIRST, LEAST, MOST = 100, 20, 5_000
"""Rows of a table's first slice, of the smallest and the largest one."""


class Unpacking:
    """One parcel on its way into a record. `step` is called until it says that nothing is left to do."""

    def __init__(self, engine: sa.Engine, path: Path, parcel: Parcel, now_us: Callable[[], int]) -> None:
        self.parcel = parcel
        self._engine = engine
        self._path = path
        self._now_us = now_us
        self._done = 0
        self._all = 0
        self._rows = FIRST
        with error_text(path):
            self._raw = _raw(engine)
            self._begin()
        self._steps = self._take()

    def _begin(self) -> None:
        raw, parcel = self._raw, self.parcel
        if not parcel.file.is_file():
            raise ShopError("What was worked out is there no more. Nothing was changed. Have it worked out again.")
        raw.execute("PRAGMA wal_autocheckpoint = 0")  # a checkpoint takes longer than a slice: it is made beside
        raw.execute("ATTACH ? AS parcel", (str(parcel.file),))
        self._all = sum(raw.execute(f"SELECT count(*) FROM parcel.{name}").fetchone()[0] for name, _ in _moved())  # noqa: S608  # ours
        raw.execute("BEGIN IMMEDIATE")
        raw.executemany("INSERT INTO coming VALUES (?, ?, ?)", [(of, *span) for of, span in parcel.ranges.items()])
        raw.execute("COMMIT")
        for statement in coming.hiding(parcel.ranges):
            raw.execute(statement)

    @property
    def share(self) -> float:
        """How much of it is taken, from 0 to 1."""
        return min(1.0, float(self._done) / max(1, self._all))

    def step(self) -> bool:
        """Take one slice; tells whether there is more. ShopError when the disk fails: then `stop` it."""
        with error_text(self._path):
            return next(self._steps, False)

    def stop(self) -> None:
        """From now on `step` removes what was taken, and in the end nothing of it was ever there."""
        self._rows = FIRST
        self._steps = self._remove()

    def stop_at_once(self) -> None:
        """The same, with nobody waiting for the thread."""
        self.stop()
        while self.step():
            pass

    def _take(self) -> Iterator[bool]:
        for name, columns in _moved():
            column, first, last = self._span(name)
            copy = f"INSERT INTO main.{name} ({columns}) SELECT {columns} FROM parcel.{name} WHERE {column} BETWEEN ? AND ?"  # noqa: S608, E501  # ours
            yield from self._in_slices(copy, first, last)

    def _span(self, name: str) -> tuple[str, int, int]:
        """Return by which column the rows of a table are cut into slices, and its ends."""
        column = next(table for table in every_table() if table.name == name).columns[0].name
        ends = self._raw.execute(f"SELECT min({column}), max({column}) FROM parcel.{name}").fetchone()  # noqa: S608  # ours
        return (column, *ends) if ends[0] is not None else (column, 1, 0)

    def _remove(self) -> Iterator[bool]:
        for of, span in reversed(self.parcel.ranges.items()):
            for name, column in coming.tables_of(of):
                yield from self._thrown_out(name, column, *span)
        self._forget()

    def _thrown_out(self, name: str, column: str, first: int, last: int) -> Iterator[bool]:
        if column == "press_id":
            ids = self._raw.execute(f"SELECT min(id), max(id) FROM main.{name} WHERE press_id = {first}").fetchone()  # noqa: S608  # ours
            delete = f"DELETE FROM main.{name} WHERE press_id = {first} AND id BETWEEN ? AND ?"  # noqa: S608  # ours
            yield from self._in_slices(delete, ids[0] or 1, ids[1] or 0)
        else:
            yield from self._in_slices(f"DELETE FROM main.{name} WHERE {column} BETWEEN ? AND ?", first, last)  # noqa: S608  # ours

    def _in_slices(self, statement: str, first: int, last: int) -> Iterator[bool]:
        """Run a statement for one stretch of numbers after the other, each as long as a slice may last."""
        self._rows = FIRST
        while first <= last:
            until = min(last, first + self._rows - 1)
            before = self._now_us()
            self._done += self._slice(statement, (first, until))
            took = max(1, self._now_us() - before)
            self._rows = max(LEAST, min(MOST, 2 * self._rows, self._rows * SLICE_US // took))
            first = until + 1
            yield True

    def _slice(self, statement: str, values: tuple[int, ...]) -> int:
        raw = self._raw
        raw.execute("PRAGMA synchronous = NORMAL")
        raw.execute("PRAGMA foreign_keys = OFF")  # what it points at comes with another slice
        raw.execute("BEGIN IMMEDIATE")
        try:
            changed = raw.execute(statement, values).rowcount
            raw.execute("COMMIT")
        except BaseException:
            if raw.in_transaction:
                raw.execute("ROLLBACK")
            raise
        finally:
            raw.execute("PRAGMA foreign_keys = ON")
            raw.execute("PRAGMA synchronous = FULL")
        return changed

    def show(self) -> None:
        """Within the transaction of the last commit: from then on all of it is there."""
        self._raw.execute("DELETE FROM main.coming")
        self._raw.execute("UPDATE main.sqlite_sequence SET seq = ? WHERE name = 'press'", (self.parcel.press_id - 1,))

    def end(self) -> None:
        """All of it is there: put the file away."""
        self._take_views_away()
        self._raw.execute("DETACH parcel")
        self.parcel.file.unlink(missing_ok=True)

    def rest(self) -> None:
        """All that was in the log is in the record: from now on a press sees to it again."""
        self._raw.execute("PRAGMA wal_autocheckpoint = 1000")

    def _forget(self) -> None:
        self._raw.execute("BEGIN IMMEDIATE")
        coming.forget(self._raw, self.parcel.ranges)
        self._raw.execute("COMMIT")
        self.end()

    def _take_views_away(self) -> None:
        for statement in coming.showing(self.parcel.ranges):
            self._raw.execute(statement)


def parcel_of(unpacking: Unpacking | None) -> Parcel:
    """Return the parcel of an unpacking; that of none brings nothing."""
    return unpacking.parcel if unpacking is not None else Parcel(Path(), {}, 0, ImportBasis(0, 0))


def flush(path: Path) -> None:
    """Have the log of a record on the disk, beside whoever writes: the next press then has little to wait for."""
    with error_text(path), log_of(path).open("rb+") as log:
        os.fsync(log.fileno())


def checkpoint(path: Path) -> None:
    """Bring what stands in the log of a record into the record itself, beside whoever writes: it may take a while."""
    with error_text(path):
        connection = sqlite3.connect(path, isolation_level=None)
        try:
            connection.execute("PRAGMA wal_checkpoint(PASSIVE)")
        finally:
            connection.close()


def _raw(engine: sa.Engine) -> sqlite3.Connection:
    raw = engine.raw_connection().driver_connection
    if not isinstance(raw, sqlite3.Connection):
        raise TypeError(raw)
    return raw


def _moved() -> Iterator[tuple[str, str]]:
    """Yield the tables of a parcel with the columns that are taken as they are."""
    for table in every_table():
        if table.name != "press":
            own = (c.name for c in table.columns if c.name != "id" or table not in (JOURNAL, STAGE_ROW))
            yield table.name, ", ".join(f'"{name}"' for name in own)
