"""Opening a record: made where there is none, refused with a sentence where it isn't one."""

import os
import sqlite3
import time
from collections import deque
from collections.abc import Callable
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import TypeVar

import sqlalchemy as sa

from shopclock.record.file import copy_files, heartbeat, parts, schema
from shopclock.record.file.engine import connect, connect_reader, dont_wait_for_disk, log_of, reader, writer
from shopclock.record.file.error_text import Damaged, DiskFailed, error_text, failed, sentence
from shopclock.record.file.identity import HEAD, identity_of, left_at, own_descriptor, read_head, read_through, words_of
from shopclock.record.file.on_disk import folder_on_disk, make_folder, on_disk
from shopclock.record.file.parts import part_of, remove_with_tails
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.plain_file import refuse_unless_plain

LARGE = 16_000_000
"""Bytes from which looking at every page would be felt when the window opens (a third of a second at 120 MB)."""


def file_for_parcel(record: Path) -> Path:
    """Place of a parcel of a record until it is taken; what is left there is of a program that was killed."""
    return record.with_name(f"{record.name}.parcel")


T = TypeVar("T")
PAUSES_S = (0.0, 0.1, 0.4)
"""A disk that fails is tried again after these."""


def _tried_again(path: Path, opened: Callable[..., T]) -> T:
    """Try again where the disk fails for a moment; what seems damaged is looked at twice."""
    damaged = False
    for pause in (0.0, *PAUSES_S):
        time.sleep(pause)
        try:
            return _told_from_damage(path, opened, again=damaged)
        except DiskFailed:
            pass
        except Damaged:
            if damaged:
                raise
            damaged = True
    return _told_from_damage(path, opened, again=damaged)


def _told_from_damage(path: Path, opened: Callable[..., T], *, again: bool) -> T:
    """Open; Damaged only where each byte can be read: SQLite says the same of a page that can't be read just now."""
    try:
        return opened(again=again)
    except Damaged:
        with error_text(path):
            for file in filter(Path.is_file, (path, log_of(path))):
                deque(read_through(file), maxlen=0)
        raise


def open_writer(path: Path) -> sa.Engine:
    """Open a record that is there, to write in. ShopError says why it can't be, DiskFailed that its disk fails."""
    return _tried_again(path, partial(_open_writer, path))


def _open_writer(path: Path, *, again: bool) -> sa.Engine:
    with error_text(path):
        if holds_nothing(path):
            raise ShopError(f"There is no record at {path}. Nothing was made.")
        _check_head(path)
        _check_writable(path)
        if has_log_of_another_state(path):
            set_log_aside(Path(os.path.realpath(path)))
        # By a reader first: a writer would change the head of a file that isn't ours.
        version = _checked(reader(path), path, again=again)
        engine = writer(path)
        try:
            remove_with_tails(file_for_parcel(path))
            if version < schema.VERSION:
                from shopclock.record.file.migrate import migrate

                migrate(engine, path, version)
        except BaseException:
            engine.dispose()
            raise
        return engine


def make(path: Path, fill: Callable[[Path], object]) -> None:
    """Make a new record: `fill` makes it whole beside its place, then it gets its name, on the disk.

    What no record was at the place goes, its log is kept under another name. ShopError: nothing was made.
    """
    place = Path(os.path.realpath(path))
    with error_text(path):
        make_folder(place.parent)
        parts.clear_parts(place.parent, place.stem)
        with parts.part_of(place) as part:
            fill(part)
            on_disk(part)
            if not holds_nothing(place):
                raise ShopError(f"Another program has made {path} meanwhile. Nothing was changed. Start again.")
            set_log_aside(place)
            part.replace(place)
            folder_on_disk(place.parent)


def make_tables(part: Path, *, draft: bool) -> sa.Engine:
    """Make the tables of a new record in an empty file, and return how to write to it; a draft isn't waited for."""
    engine = writer(part)
    try:
        if draft:
            dont_wait_for_disk(engine)
        with engine.begin() as connection:
            schema.create(connection)
    except BaseException:
        engine.dispose()
        raise
    return engine


def set_log_aside(place: Path) -> Path | None:
    """Keep a log under another name whose record is gone: read with another record it would spoil that.

    Returns where it lies, or nothing where there was none with anything in it.
    """
    found = None
    for log in (log_of(place), place.with_name(f"{place.name}-journal")):
        if log.exists() and log.stat().st_size:
            found, number = log.with_name(f"{log.name}.left"), 1
            while found.exists():
                number += 1
                found = log.with_name(f"{log.name}.left-{number}")
            log.replace(found)
    parts.remove_with_tails(place, of_it=False)
    return found


def open_reader(path: Path) -> sa.Engine:
    """Open a record to read only. ShopError says why it can't be, DiskFailed that its disk fails."""
    if version_of(path) < schema.VERSION:
        raise ShopError(
            f"The record {path} was written by an older version of this program. Nothing was changed. "
            "Open it once in the window first."
        )
    return reader(path)


def version_of(path: Path) -> int:
    """Return the version of a record that is ours, sound and not newer than this program. ShopError says why not."""
    return _tried_again(path, partial(_version_of, path))


def _version_of(path: Path, *, again: bool) -> int:
    with error_text(path):
        if holds_nothing(path):
            raise ShopError(f"There is no record at {path}.")
        _check_head(path)
        if has_log_of_another_state(path):
            raise ShopError(f"The log beside {path} is of another state of it. Open it once in the window.")
        engine = reader(path)
        try:
            return _checked(engine, path, again=again)
        finally:
            engine.dispose()


def has_log_of_another_state(path: Path) -> bool:
    """Tell whether the log beside a record belongs to another state of it, which an older one has taken the place of.

    SQLite reads any log with any file. It is looked for only where the file isn't as the last sign of life left it
    and no program has it open: then both have to go together, or the file is read without.
    """
    real = Path(os.path.realpath(path))
    log, sign = left_at(log_of(real)), heartbeat.read(path)
    if log is None or not log.size or sign is None or sign.left in ("", words_of(left_at(path))):
        return False
    found = identity_of(path)
    if found is None or own_descriptor(found) is not None:
        return False
    with part_of(real) as part:
        part.write_bytes(real.read_bytes())
        log_of(part).write_bytes(log_of(real).read_bytes())
        if _goes_together(part):
            return False
        remove_with_tails(part, of_it=False)
        part.write_bytes(real.read_bytes())
        return _goes_together(part)


def _goes_together(part: Path) -> bool:
    """Tell whether a copy, with its log where it has one, has each thing that its journal says is there."""
    try:
        with closing(connect(part)) as connection:
            if connection.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
                return False
            if connection.execute("PRAGMA foreign_key_check").fetchone() is not None:
                return False
            return all(_is_as_told(connection, name) for (name,) in connection.execute(_THINGS).fetchall())
    except sqlite3.DatabaseError:
        return False


_THINGS = "SELECT DISTINCT thing FROM journal"


def _is_as_told(connection: sqlite3.Connection, thing: str) -> bool:
    told = """SELECT count(*) FROM journal WHERE after IS NOT NULL AND id IN (
        SELECT max(id) FROM journal WHERE thing = ? GROUP BY number)"""
    there = f'SELECT count(*) FROM "{thing}"'  # noqa: S608  # a name that the file's own tables have, or no record of ours
    wanted, found = connection.execute(told, (thing,)).fetchone(), connection.execute(there).fetchone()
    return bool(wanted == found)


def holds_nothing(path: Path) -> bool:
    """Tell whether no record is at a path: no file, an empty one, or one in which no table was ever made."""
    with error_text(path):
        if not path.exists():
            return True
        if not path.is_file():
            return False
        head = read_head(path, HEAD_BYTES)
        if not any(head):
            return path.stat().st_size <= ONLY_BEGUN and not any(read_head(path, ONLY_BEGUN))
        if head[: len(HEAD)] != HEAD or any(head[_VERSION] + head[_APPLICATION]):
            return False
        return _has_no_table(path)


HEAD_BYTES = 100
_VERSION, _APPLICATION = slice(60, 64), slice(68, 72)
"""Where SQLite keeps user_version and application_id ("Database File Format", 1.3)."""
ONLY_BEGUN = 65_536
"""Bytes up to which a file of zeroes is what a power cut left of a record that was being made."""


def _has_no_table(path: Path) -> bool:
    """Look through the log too: it may have all the tables."""
    try:
        with closing(connect_reader(path)) as connection:
            heads = [connection.execute(f"PRAGMA {name}").fetchone()[0] for name in ("user_version", "application_id")]
            return not any(heads) and connection.execute("SELECT 1 FROM sqlite_master").fetchone() is None
    except sqlite3.DatabaseError as error:
        if failed(error):
            raise
        return False


def _check_head(path: Path) -> None:
    refuse_unless_plain(path)
    if read_head(path, len(HEAD)) != HEAD:
        raise Damaged(f"{path} is not a record of this program. Nothing was changed.")


def _check_writable(path: Path) -> None:
    if not (os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)):
        raise ShopError(f"The record {path} may only be read. Nothing was changed. Allow writing to it.")


def _checked(engine: sa.Engine, path: Path, *, again: bool) -> int:
    """Return the version of a record that is ours, not newer, and sound; ShopError otherwise."""
    tidy = not again and not log_of(path).exists()  # SQLite makes a log as soon as it looks
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
