"""What is being written in slices and is not there yet: hidden from everybody until one last commit, or removed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import sqlalchemy as sa

from shopclock.record.file.schema import COMING
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    import sqlite3
    from collections.abc import Iterator, Mapping
    from pathlib import Path

Ranges = dict[str, tuple[int, int]]
"""The first and the last number of what comes, by table."""

_BESIDE = {
    "interval": (("interval_piece", "interval_id"), ("labour", "interval_id"), ("share", "interval_id")),
    "rule_broken": (("rule_broken_piece", "rule_broken_id"),),
    "batch": (("stage_row", "batch_id"),),
}
"""Tables without numbers of their own that tell of rows of these: which column says of which."""


def file_for(record: Path) -> Path:
    """Return where the parcel of a record lies while it is made and taken."""
    return record.with_name(f"{record.name}.parcel")


def tables_of(of: str) -> tuple[tuple[str, str], ...]:
    """Return the tables that hold a range, each with the column that the range is of; a press comes last of all."""
    if of == "press":
        return (("journal", "press_id"),)
    return ((of, "id"), *_BESIDE.get(of, ()))


def ranges(connection: sa.Connection) -> Ranges:
    """Return what is coming; nothing in a record that knows of no coming."""
    try:
        found = connection.exec_driver_sql(f"SELECT of, first, last FROM {COMING.name}").all()  # noqa: S608  # ours
    except sa.exc.OperationalError as error:
        if "no such table" in str(error.orig):  # older, or no record at all: whoever opens it will say so
            return {}
        raise
    return {of: (first, last) for of, first, last in found}


def hide(connection: sa.Connection) -> None:
    """Let this connection read as if nothing were coming, within the transaction that it is in."""
    if found := ranges(connection):
        connection.exec_driver_sql("PRAGMA query_only = OFF")
        for statement in hiding(found):
            connection.exec_driver_sql(statement)
        connection.exec_driver_sql("PRAGMA query_only = ON")


def refuse_while_coming(raw: sqlite3.Connection, path: Path) -> None:
    """Refuse what needs the record to be still, within the transaction that it is looked at in."""
    if raw.execute("SELECT 1 FROM coming").fetchone() is not None:
        raise ShopError(f"Something large is just coming into {path}. Nothing was written. Try again in a moment.")


def hiding(found: Mapping[str, tuple[int, int]]) -> Iterator[str]:
    """Yield what makes a view of each table, under its own name, without what comes."""
    for name, column, (first, last) in _every(found):
        yield f"CREATE TEMP VIEW {name} AS SELECT * FROM main.{name} WHERE {column} NOT BETWEEN {first} AND {last}"  # noqa: S608  # ours


def showing(found: Mapping[str, tuple[int, int]]) -> Iterator[str]:
    """Yield what takes these views away."""
    for name, _, _ in _every(found):
        yield f"DROP VIEW IF EXISTS temp.{name}"


def remove_leftovers(raw: sqlite3.Connection) -> None:
    """Remove what was coming when the program ended, all at once, before anything is read."""
    found = {of: (first, last) for of, first, last in raw.execute("SELECT of, first, last FROM coming")}
    if not found:
        return
    raw.execute("PRAGMA foreign_keys = OFF")
    raw.execute("BEGIN IMMEDIATE")
    for name, column, span in _every(found):
        raw.execute(f"DELETE FROM main.{name} WHERE {column} BETWEEN ? AND ?", span)  # noqa: S608  # ours
    forget(raw, found)
    raw.execute("COMMIT")
    raw.execute("PRAGMA foreign_keys = ON")


def forget(raw: sqlite3.Connection, found: Mapping[str, tuple[int, int]]) -> None:
    """Say that nothing is coming any more, and that the numbers which were kept for it were never given."""
    for of in found:
        if of != "press":
            newest = "SELECT coalesce(max(number), 0) FROM main.journal WHERE thing = :of"
            raw.execute(f"UPDATE main.sqlite_sequence SET seq = ({newest}) WHERE name = :of", {"of": of})  # noqa: S608  # ours
    newest = "SELECT coalesce(max(id), 0) FROM main.journal"
    raw.execute(f"UPDATE main.sqlite_sequence SET seq = ({newest}) WHERE name = 'journal'")  # noqa: S608  # ours
    raw.execute("DELETE FROM main.sqlite_sequence WHERE seq = 0")
    raw.execute("DELETE FROM main.coming")


def _every(found: Mapping[str, tuple[int, int]]) -> Iterator[tuple[str, str, tuple[int, int]]]:
    for of, span in found.items():
        for name, column in tables_of(of):
            yield name, column, span
