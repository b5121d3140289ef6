"""Bringing an older record to this version: a copy first, then step by step in one transaction.

Alembic's scripts do the steps; SQLite's own user_version says where a record stands, so that
no table of Alembic's is needed. Loaded only when a record is older.
"""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import sqlalchemy as sa
from alembic.operations import Operations
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory

from shopclock.record.file import coming, schema
from shopclock.record.file.engine import connect, copy
from shopclock.record.file.error_text import error_text
from shopclock.shop.values.errors import ShopError

SCRIPTS = Path(__file__).parent / "migrations"


def copy_before(path: Path, version: int) -> Path:
    """Place of the copy that is made of a record before it is brought to a version."""
    return path.with_name(f"{path.name}.before-v{version}")


def migrate(engine: sa.Engine, path: Path, version: int, *, to: int = schema.VERSION, scripts: Path = SCRIPTS) -> None:
    """Bring an older record to a version. ShopError: it could not be done and is as it was."""
    beside = copy_before(path, to)
    with error_text(path):
        _copy(path, beside)
    try:
        bring_up(engine, version, to, scripts)
    except Exception as error:  # whatever a script raised: it is handed on, with what became of the record
        said = getattr(error, "orig", error)
        raise ShopError(
            f"The record {path} could not be brought to this version ({said}). "
            f"It is as it was; a copy lies at {beside}. Keep both."
        ) from error


def bring_up(engine: sa.Engine, version: int, to: int = schema.VERSION, scripts: Path = SCRIPTS) -> None:
    """Bring a record to a version in one transaction, without a copy: for what is a copy itself."""
    coming.remove_leftovers(engine, version)
    with _foreign_keys_off(engine) as connection, connection.begin():
        run(connection, version, to, scripts)
        _check_pointers(connection)
        connection.exec_driver_sql(f"PRAGMA user_version = {to}")


def run(connection: sa.Connection, version: int, to: int, scripts: Path = SCRIPTS) -> None:
    """Run the scripts after one version up to another, within the caller's transaction.

    Views are dropped first, because no table can be made anew under one; a script makes those of its version.
    """
    for (view,) in connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'view'").all():
        connection.exec_driver_sql(f'DROP VIEW "{view}"')
    steps = ScriptDirectory(str(scripts))
    start = str(version) if version else "base"
    with Operations.context(MigrationContext.configure(connection)):
        for step in reversed(list(steps.iterate_revisions(str(to), start))):
            step.module.upgrade()


def _copy(path: Path, beside: Path) -> None:
    """Copy the record beside itself; the name stands only when the copy is whole and on disk."""
    part = beside.with_name(f"{beside.name}.part")
    part.unlink(missing_ok=True)
    os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    try:
        copy(path, part)
        with closing(connect(part)) as made:
            # A copy that needs no files beside it.
            made.execute("PRAGMA journal_mode = DELETE")
            sound = made.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if sound != "ok":
            raise ShopError(f"No sound copy of {path} could be made ({sound}). Nothing was changed.")
        with part.open("rb+") as file:
            os.fsync(file.fileno())
        part.replace(beside)
    finally:
        part.unlink(missing_ok=True)


@contextmanager
def _foreign_keys_off(engine: sa.Engine) -> Iterator[sa.Connection]:
    """Yield a connection that doesn't look at pointers while tables are made anew under them."""
    with engine.connect() as connection:
        raw = connection.connection.driver_connection
        if not isinstance(raw, sqlite3.Connection):
            raise TypeError(raw)
        raw.execute("PRAGMA foreign_keys = OFF")
        try:
            yield connection
        finally:
            raw.execute("PRAGMA foreign_keys = ON")


def _check_pointers(connection: sa.Connection) -> None:
    lost = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if lost:
        raise ValueError(f"{len(lost)} rows would point at nothing, the first in {lost[0][0]}")
