"""Opening a record: made where there is none, refused with a sentence where it isn't one."""

import os
from pathlib import Path

import sqlalchemy as sa

from shopclock.record.file import copy_files, schema
from shopclock.record.file.engine import log_of, reader, writer
from shopclock.record.file.error_text import Damaged, error_text, sentence
from shopclock.shop.values.errors import ShopError

HEAD = b"SQLite format 3\x00"
LARGE = 16_000_000
"""Bytes from which looking at every page would be felt when the window opens (a third of a second at 120 MB)."""


def file_for_parcel(record: Path) -> Path:
    """Place of a parcel of a record until it is taken; what is left there is of a program that was killed."""
    return record.with_name(f"{record.name}.parcel")


def open_writer(path: Path, *, make: bool) -> sa.Engine:
    """Open a record to write in; `make` allows a new one. ShopError says why it can't be."""
    with error_text(path):
        if _missing(path):
            if not make:
                raise ShopError(f"There is no record at {path}. Nothing was made.")
            path.parent.mkdir(parents=True, exist_ok=True)
            _reserve(path)
            return _made(path)
        _check_head(path)
        _check_writable(path)
        # By a reader first: a writer would change the head of a file that isn't ours.
        version = _checked(reader(path), path)
        engine = writer(path)
        try:
            file_for_parcel(path).unlink(missing_ok=True)
            if version < schema.VERSION:
                from shopclock.record.file.migrate import migrate

                migrate(engine, path, version)
        except BaseException:
            engine.dispose()
            raise
        return engine


def open_reader(path: Path) -> sa.Engine:
    """Open a record to read only. ShopError says why it can't be."""
    if version_of(path) < schema.VERSION:
        raise ShopError(
            f"The record {path} was written by an older version of this program. Nothing was changed. "
            "Open it once in the window first."
        )
    return reader(path)


def version_of(path: Path) -> int:
    """Return the version of a record that is ours, sound and not newer than this program. ShopError says why not."""
    with error_text(path):
        if _missing(path):
            raise ShopError(f"There is no record at {path}.")
        _check_head(path)
        engine = reader(path)
        try:
            return _checked(engine, path)
        finally:
            engine.dispose()


def _missing(path: Path) -> bool:
    return not path.exists() or (path.is_file() and path.stat().st_size == 0)


def _reserve(path: Path) -> None:
    """Make the file for its owner alone before anything is written to it."""
    os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
    path.chmod(0o600)


def _made(path: Path) -> sa.Engine:
    engine = writer(path)
    try:
        with engine.begin() as connection:
            schema.create(connection)
    except BaseException:
        engine.dispose()
        path.unlink(missing_ok=True)
        raise
    return engine


def _check_head(path: Path) -> None:
    if path.is_dir():
        raise ShopError(f"{path} is a folder, not a record. Name a file.")
    with path.open("rb") as file:
        if file.read(len(HEAD)) != HEAD:
            raise Damaged(f"{path} is not a record of this program. Nothing was changed.")


def _check_writable(path: Path) -> None:
    if not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)):
        raise ShopError(f"The record {path} may only be read. Nothing was changed. Allow writing to it.")


def _checked(engine: sa.Engine, path: Path) -> int:
    """Return the version of a record that is ours, not newer, and sound; ShopError otherwise."""
    tidy = not log_of(path).exists()  # SQLite makes a log as soon as it looks
    with engine.connect() as connection:
        ours = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
        version = int(connection.exec_driver_sql("PRAGMA user_version").scalar_one())
        if ours != schema.APPLICATION_ID:
            raise ShopError(f"{path} is not a record of this program. Nothing was changed.")
        if version > schema.VERSION:
            raise ShopError(
                f"The record {path} was written by a newer version of this program. Nothing was changed. "
                f"Use that: the record is of version {version}, this program knows none after {schema.VERSION}."
            )
        if not _sound(connection, path, tidy=tidy):
            raise Damaged(sentence(path, "malformed"))
    return version


def _sound(connection: sa.Connection, path: Path, *, tidy: bool) -> bool:
    """Tell whether the file holds what it says; page by page unless it is large and was closed tidily."""
    pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
    page = connection.exec_driver_sql("PRAGMA page_size").scalar_one()
    size = path.stat().st_size
    suspect = copy_files.read_keeps(path).suspect
    if tidy and size >= LARGE and not suspect:
        return bool(size == pages * page)
    how = "integrity_check(1)" if suspect else "quick_check(1)"
    return bool(connection.exec_driver_sql(f"PRAGMA {how}").scalar_one() == "ok")
