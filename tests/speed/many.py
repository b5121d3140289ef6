"""A record ten times as large again: what a hundred thousand intervals are, once more and once more after it.

Written by SQLite itself, from the record that `large` makes: every closed batch with its pieces, intervals, presses,
labour, shares, stage rows and journal gets twins of its own numbers, each after the one before in time.
"""

from __future__ import annotations

import shutil
import sqlite3
import tempfile
from contextlib import closing
from typing import TYPE_CHECKING

from tests.speed.large import INTERVALS, kept_record, opened

if TYPE_CHECKING:
    from pathlib import Path

    from tests.record.on_disk import DiskShop

TIMES = 10
STEP = 1_000_000
"""Numbers of `large` begin above it and end before twice it; so do those of each twin."""
NUMBERS = ("id", "batch_id", "step_id", "piece_id", "interval_id", "press_id")
"""Columns that hold the number of something that has a twin."""
INSTANTS = ("start_us", "end_us", "started_us", "closed_us", "at_us", "wall_us", "ended_us", "first_us", "middle_us")
TABLES = ("batch", "step", "piece", "press", "interval", "interval_piece", "labour", "share", "stage_row", "journal")
BY_ITSELF = {"stage_row", "journal"}
"""Tables whose numbers SQLite gives."""
FIRST = {"press": 1000, "journal": 1000}
"""Presses of the three open batches, which have no twin, come before."""


def many_record(folder: Path, times: int = TIMES) -> DiskShop:
    """A shop with so many times a hundred thousand intervals; made once for a schema."""
    return opened(kept_many(times), folder)


def kept_many(times: int) -> Path:
    small = kept_record(INTERVALS)
    kept = small.with_name(f"{small.name}-{times}")
    if not kept.is_file():
        with tempfile.TemporaryDirectory(dir=kept.parent) as name:
            path = shutil.copy(small, f"{name}/many")
            _multiply(path, times)
            shutil.move(path, kept)
    return kept


def _multiply(path: str, times: int) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for pragma in ("synchronous = OFF", "journal_mode = OFF", "foreign_keys = OFF", "cache_size = -1000000"):
            connection.execute(f"PRAGMA {pragma}")
        first, last = connection.execute(
            "SELECT min(start_us), max(end_us) FROM interval WHERE id > 1000000"
        ).fetchone()
        connection.execute("BEGIN")
        for n in range(1, times):
            for table in TABLES:
                connection.execute(_twin(connection, table, n * STEP, n * (last - first + 86_400_000_000)))
        connection.execute("COMMIT")
        connection.execute("PRAGMA journal_mode = WAL")


def _twin(connection: sqlite3.Connection, table: str, number: int, us: int) -> str:
    columns = [row[1] for row in connection.execute(f"PRAGMA table_info({table})")]
    if table in BY_ITSELF:
        columns.remove("id")
    values = ", ".join(_value(table, column, number, us) for column in columns)
    low = FIRST.get(table, STEP)
    owner = next(c for c in ("press_id", "interval_id", "id", "batch_id") if c in columns)
    return (
        f"INSERT INTO {table} ({', '.join(columns)}) SELECT {values} FROM {table}"  # noqa: S608  # names are ours
        f" WHERE {owner} > {low} AND {owner} <= {low + STEP} ORDER BY {owner}"
    )


def _value(table: str, column: str, number: int, us: int) -> str:
    """How a column of a twin follows from the first one's."""
    if column == "uuid":
        return f"printf('00000000-0000-0000-0000-%012x', id + {number})"
    if table == "journal" and column == "after":
        return _line(number, us)
    if column in NUMBERS or (table, column) == ("journal", "number"):
        return f"{column} + {number}"
    return f"{column} + {us}" if column in INSTANTS else column


def _line(number: int, us: int) -> str:
    """The journal's line of a twin: its numbers and instants moved, what isn't there left out."""
    uuid = f"printf('00000000-0000-0000-0000-%012x', number + {number})"
    pieces = f"json((SELECT json_group_array(value + {number}) FROM json_each(after, '$.pieces')))"  # noqa: S608  # the same
    moved = {name: f"json_extract(after, '$.{name}') + {number}" for name in NUMBERS}
    moved |= {name: f"json_extract(after, '$.{name}') + {us}" for name in INSTANTS}
    changed = ", ".join(f"'$.{name}', {value}" for name, value in (moved | {"uuid": uuid, "pieces": pieces}).items())
    return f"json_replace(after, {changed})"
