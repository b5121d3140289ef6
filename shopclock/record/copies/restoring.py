"""Bringing a copy back: what would be lost, and one record in the place of another, whole or not at all."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from shopclock.record.copies.copying import CHECKING, backup, check_copy, part_beside, remember, told_of_folder
from shopclock.record.copies.soundness import wrong_with
from shopclock.record.file import copy_files, engine, heartbeat
from shopclock.record.file.copy_files import Copy
from shopclock.record.file.error_text import Damaged, error_text
from shopclock.record.file.identity import read_head
from shopclock.record.file.on_disk import folder_on_disk, make_file, make_folder, on_disk
from shopclock.record.file.opening import holds_nothing, set_log_aside, version_of
from shopclock.record.file.schema import NOT_BROUGHT
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress

LOOKING = "Looking through the copies"


@dataclass(frozen=True, slots=True)
class Lost:
    """Losses if a copy came back: presses, intervals, batches begun that it does not hold; None: it can't be read."""

    presses: int
    intervals: int
    batches: int


def lost(record: Path, copy: Path) -> Lost | None:
    """Return what would be lost by bringing a copy back; nothing where the record can't be read any more.

    ShopError: the copy is not sound, or of another shop.
    """
    version_of(copy)
    if holds_nothing(record):
        return Lost(0, 0, 0)
    try:
        version_of(record)
        with error_text(record), closing(engine.connect_reader(record)) as connection:
            connection.execute("ATTACH ? AS other", (engine.uri_of(copy),))
            _check_same_shop(connection, copy)
            return Lost(*(connection.execute(query).fetchone()[0] for query in (_PRESSES, _STRETCHES, _BATCHES)))
    except Damaged:
        return None


_PRESSES = f"""SELECT count(*) FROM main.press WHERE {NOT_BROUGHT} AND id > (
    SELECT coalesce(max(ours.id), 0) FROM main.press AS ours JOIN other.press AS theirs USING (id, uuid))"""  # noqa: S608  # ours
_STRETCHES = "SELECT count(*) FROM main.interval WHERE uuid NOT IN (SELECT uuid FROM other.interval)"
_BATCHES = "SELECT count(*) FROM main.batch WHERE uuid NOT IN (SELECT uuid FROM other.batch)"


def _check_same_shop(connection: sqlite3.Connection, copy: Path) -> None:
    ours = engine.first_row(connection, "uuid", "main.shop")
    if not connection.execute("SELECT count(*) FROM other.shop WHERE uuid = ?", ours).fetchone()[0]:
        raise ShopError(f"{copy} is the record of another shop. Nothing was changed. Open it on its own.")


def newest_good(record: Path, progress: Progress = UNWATCHED) -> Copy | None:
    """Return the newest copy that its journal makes again, whole; nothing where there is none."""
    found = copy_files.copies_of(record)
    for n, copy in enumerate(found):
        progress.at(n, len(found), LOOKING)
        with suppress(ShopError):
            if not wrong_with(copy.path):
                return copy
    return None


def restore(record: Path, copy: Path, now_us: int, progress: Progress = UNWATCHED) -> Path | None:
    """Put a copy in the place of a record that no window has open; return where the record is kept as it was.

    A damaged record is kept beside itself as it is, a sound one as a copy among its copies; nothing is kept
    where there was no record. ShopError: it could not be done, and the record is as it was.
    """
    _check_can_be_brought(record, copy)
    with part_beside(record) as part:
        backup(copy, part, progress)
        progress.at(0, 0, CHECKING)
        check_copy(part, copy)
        refuse_unsound(part, copy)
        with error_text(part), closing(engine.connect(part)) as made:
            made.execute("PRAGMA journal_mode = DELETE")
        on_disk(part)
        kept = _swap(record, part, now_us)
    with suppress(OSError):
        heartbeat.place(record).unlink(missing_ok=True)  # it told of the record that was there
    remember(record, "", suspect=False)
    return kept


def refuse_unsound(record: Path, called: Path) -> None:
    """Raise ShopError where what is to take a record's place does not hold together: its journal rebuilds it."""
    for wrong in wrong_with(record):
        raise ShopError(f"{called} is not sound: {wrong} Nothing was changed. Take another copy.")


def _check_can_be_brought(record: Path, copy: Path) -> None:
    if not copy.is_file():
        raise ShopError(f"There is no copy {copy}. Nothing was changed.")
    if record.exists() and record.samefile(copy):
        raise ShopError(f"{copy} is the record itself. Nothing was changed.")
    if record.is_file() and not record.stat().st_size and read_head(record, 1):
        raise ShopError(f"{record} is a view of the system, not a file. Nothing was changed. Name a file.")
    lost(record, copy)


def _swap(record: Path, part: Path, now_us: int) -> Path | None:
    """Let the part take the record's place: within the record where it is sound, else by renaming."""
    if holds_nothing(record):
        set_log_aside(record)
        part.replace(record)
        folder_on_disk(record.parent)
        return None
    try:
        version_of(record)
        return _within(record, part, now_us)
    except Damaged:
        return _in_place_of(record, part, now_us)


def _within(record: Path, part: Path, now_us: int) -> Path:
    """Write the part into a sound record in one transaction, so that it is the one or the other at any instant."""
    with error_text(record), closing(engine.connect(record)) as connection:
        connection.isolation_level = None
        _have_it_alone(connection, record)
        (shop_uuid,) = engine.first_row(connection, "uuid", "shop")
        folder = copy_files.usual_folder(record)
        with told_of_folder(folder):
            make_folder(folder)
        before = folder / copy_files.name_of(record, now_us, shop_uuid, before=True)
        with part_beside(before) as beside:
            with closing(engine.connect(beside)) as new:
                connection.backup(new)
            check_copy(beside, record)
            on_disk(beside)
            beside.replace(before)
            folder_on_disk(folder)
        with closing(engine.connect(part)) as new:
            new.backup(connection)
    return before


def _have_it_alone(connection: sqlite3.Connection, record: Path) -> None:
    """Leave the way in which several may have it open: SQLite refuses that while any other has."""
    connection.execute("PRAGMA busy_timeout = 1000")
    with _told_if_open(record):
        connection.execute("PRAGMA locking_mode = EXCLUSIVE")
        connection.execute("PRAGMA synchronous = EXTRA")
        if connection.execute("PRAGMA journal_mode = DELETE").fetchone()[0] != "delete":
            raise sqlite3.OperationalError("database is locked")
        connection.execute("BEGIN EXCLUSIVE")
        connection.execute("COMMIT")


@contextmanager
def _told_if_open(record: Path) -> Iterator[None]:
    try:
        yield
    except sqlite3.OperationalError as error:
        if "locked" not in str(error):
            raise
        raise ShopError(
            f"{record} is open in a window or program. Nothing was changed. Close it there first."
        ) from error


def _in_place_of(record: Path, part: Path, now_us: int) -> Path:
    """Put the part where a damaged record lies, which is kept under another name with its log."""
    kept = _free_name(record, now_us)
    with told_of_folder(record.parent):
        _keep_file(record, kept)
        for tail in ("-wal", "-journal"):
            log = record.with_name(f"{record.name}{tail}")
            if log.exists():
                log.replace(kept.with_name(f"{kept.name}{tail}"))
        record.with_name(f"{record.name}-shm").unlink(missing_ok=True)
        part.replace(record)
        folder_on_disk(record.parent)
    return kept


def _free_name(record: Path, now_us: int) -> Path:
    """Return the name under which a damaged record is kept; another one of the same second keeps its own."""
    while True:
        name = copy_files.name_of(record, now_us, "damaged0").replace("damaged0", "damaged")
        kept = record.with_name(name)
        if not kept.exists() or kept.samefile(record):
            return kept
        now_us += copy_files.US


def _keep_file(path: Path, under: Path) -> None:
    """Give a file a second name; where the disk knows no such thing, a second file."""
    if under.exists() and under.samefile(path):
        return
    try:
        os.link(path, under)
    except OSError:
        make_file(under)
        shutil.copyfile(path, under)
        on_disk(under)
