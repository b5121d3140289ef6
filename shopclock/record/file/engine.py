"""The way to the file: WAL, every commit on disk before it returns, one connection that writes."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from shopclock.record.file.error_text import Undecodable

PRAGMAS = (
    "busy_timeout = 2000",
    "foreign_keys = ON",
    "recursive_triggers = ON",
    "journal_mode = WAL",
    "synchronous = FULL",
    "fullfsync = 1",
    "checkpoint_fullfsync = 1",
    "trusted_schema = OFF",
    "journal_size_limit = 4000000",
    "wal_autocheckpoint = 4000",  # 16 MB, hundreds of presses: `put_log_away` comes long before, while nobody presses
)


def writer(path: Path) -> sa.Engine:
    """Return the engine of the one connection that writes."""
    engine = sa.create_engine("sqlite://", poolclass=sa.StaticPool, creator=lambda: _made_ready(connect(path), _set_up))
    sa.event.listen(engine, "begin", _begin_immediate)
    return engine


def reader(path: Path, before: Callable[[], object] = lambda: None) -> sa.Engine:
    """Return an engine that can't write; each reading has a connection and a standing of its own.

    `before` each reading may refuse it by an error.
    """

    def creator() -> sqlite3.Connection:
        before()
        return connect_reader(path)

    engine = sa.create_engine("sqlite://", poolclass=sa.NullPool, creator=creator)
    sa.event.listen(engine, "begin", _begin)
    return engine


def _stands_alone(path: Path) -> bool:
    """Tell whether a record has no log and none can be made beside it: on a medium to be read only."""
    return not os.access(path.parent, os.W_OK) and not log_of(path).exists()


def log_of(path: Path) -> Path:
    """Return where SQLite keeps the log of a record; a record that was closed tidily has none."""
    return path.with_name(f"{path.name}-wal")


def connect_reader(path: Path) -> sqlite3.Connection:
    """Connect to a record to read it; without SQLAlchemy for copies, which take page by page what there is."""
    return _made_ready(connect_alone(path) if _stands_alone(path) else connect(path), _set_up_reader)


def connect(path: Path) -> sqlite3.Connection:
    """Connect to a file that is there: where there is none SQLite would make one, and throw away a log beside it.

    Also to read: one that is opened "ro" leaves its own log behind.
    """
    return sqlite3.connect(uri_of(path), uri=True, check_same_thread=False)


def uri_of(path: Path) -> str:
    """Return what names a file to SQLite so that it makes none where there is none."""
    return f"{path.absolute().as_uri()}?mode=rw"


def connect_alone(path: Path) -> sqlite3.Connection:
    """Connect to a file as it is without any log, and without a file beside it: nobody may write to it meanwhile.

    Never to one that this process has open: closing this would drop SQLite's locks on it.
    """
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False)


def raw(engine: sa.Engine) -> sqlite3.Connection:
    """Return the driver's own connection of a writer: for what can't be said within a transaction.

    sqlite3.Error: it has none any more, and none can be made.
    """
    try:
        with engine.connect() as connection:
            return driver_of(connection)
    except sa.exc.DBAPIError as error:
        raise (error.orig or error) from error


def driver_of(connection: sa.Connection) -> sqlite3.Connection:
    """Return the driver's own connection within a transaction."""
    found = connection.connection.driver_connection
    if not isinstance(found, sqlite3.Connection):
        raise TypeError(found)
    return found


def first_row(connection: sqlite3.Connection, columns: str, table: str) -> tuple[Any, ...]:
    """Return some columns of the oldest row of a table that every record has rows in. Undecodable: this has none."""
    row = connection.execute(f"SELECT {columns} FROM {table} ORDER BY id LIMIT 1").fetchone()  # noqa: S608  # names of ours
    if row is None:
        raise Undecodable(table)
    return tuple(row)


def dont_wait_for_disk(engine: sa.Engine) -> None:
    """Write without waiting for the disk: for a file that is thrown away unless it gets whole."""
    raw(engine).execute("PRAGMA synchronous = OFF")


def put_log_away(engine: sa.Engine) -> None:
    """Write what is in the log into the record, on the connection that writes, and wait for the disk twice.

    What a reader still needs stays in the log. Nothing is lost where the disk doesn't take it: the log has it.
    """
    with suppress(sqlite3.Error):
        raw(engine).execute("PRAGMA wal_checkpoint(PASSIVE)").fetchall()


def _made_ready(connection: sqlite3.Connection, set_up: Callable[[sqlite3.Connection], None]) -> sqlite3.Connection:
    """Set a connection up; one to what turns out to be no record is closed."""
    try:
        set_up(connection)
    except BaseException:
        connection.close()
        raise
    return connection


def _set_up(connection: sqlite3.Connection) -> None:
    connection.isolation_level = None  # BEGIN is ours: the driver's own leaves DDL outside
    for pragma in PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")


def _set_up_reader(connection: sqlite3.Connection) -> None:
    connection.isolation_level = None
    connection.execute("PRAGMA busy_timeout = 2000")
    connection.execute("PRAGMA query_only = ON")


def _begin_immediate(connection: sa.Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def _begin(connection: sa.Connection) -> None:
    connection.exec_driver_sql("BEGIN")


def copy(path: Path, into: Path) -> None:
    """Copy a record as it stands, with what is still in its log, by SQLite's own backup."""
    with closing(connect(path)) as old, closing(connect(into)) as new:
        old.execute("PRAGMA query_only = ON")
        old.backup(new)
