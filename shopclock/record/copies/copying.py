"""Making a copy of a record beside its window: in slices, checked, whole or not there at all."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path

from shopclock.record.file import copy_files, engine, opening
from shopclock.record.file.error_text import Damaged, error_of, error_text, sentence
from shopclock.record.file.on_disk import folder_on_disk, on_disk
from shopclock.record.file.parts import part_of
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress

SLICE_PAGES = 512
"""Two megabytes are copied and put on the disk at a time, so that a press never waits for much more."""
COPYING, CHECKING = "Copying the record", "Checking the copy"


@dataclass(frozen=True, slots=True)
class CopyMade:
    """A copy that was made; `trouble` says why it doesn't lie where it was to."""

    path: Path
    trouble: str = ""


def copy_to(record: Path, target: Path, progress: Progress = UNWATCHED) -> None:
    """Copy a record to a file, checked; what is there is replaced once the copy is whole. ShopError says why not."""
    if target.exists() and (not target.is_file() or target.samefile(record)):
        raise ShopError(f"{target} can't be the copy. Nothing was written. Name another file.")
    if not target.parent.is_dir():
        raise ShopError(f"There is no folder {target.parent}. Nothing was written.")
    opening.version_of(record)
    with part_beside(target) as part:
        backup(record, part, progress)
        progress.at(0, 0, CHECKING)
        _check_against(part, record, target.parent)
        on_disk(part)
        part.replace(target)
        folder_on_disk(target.parent)


def backup(record: Path, into: Path, progress: Progress = UNWATCHED) -> None:
    """Copy a record as it stands now into an empty file, a slice at a time; presses made meanwhile are not in it."""
    with (
        _told_of_record(record),
        closing(engine.connect_reader(record)) as old,
        closing(engine.connect(into)) as new,
        into.open("rb+") as file,
    ):
        new.isolation_level = None
        old.execute("BEGIN")
        old.execute("SELECT count(*) FROM sqlite_master").fetchone()  # from here on it stands still for this reader
        new.execute("PRAGMA synchronous = OFF")  # each slice is put on the disk here

        def slice_done(_status: int, left: int, of: int) -> None:
            os.fsync(file.fileno())
            progress.at(of - left, of, COPYING)

        old.backup(new, pages=SLICE_PAGES, progress=slice_done, sleep=0)
        new.execute("PRAGMA journal_mode = DELETE")  # a copy needs no files beside it
        os.fsync(file.fileno())


@contextmanager
def _told_of_record(record: Path) -> Iterator[None]:
    """Damage is the record's; what else SQLite says in the middle of copying is about where the copy goes."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        said = error_of(record, error)
        if isinstance(said, Damaged):
            raise said from error
        raise


def _check_against(part: Path, record: Path, folder: Path) -> None:
    """Tell a record that is damaged from a stick that does not keep what is written to it."""
    try:
        check_copy(part, record)
    except ShopError:
        with error_text(record), closing(engine.connect_reader(record)) as connection:
            sound = connection.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok"
        if not sound:
            raise
        said = f"{folder} does not keep what is written to it. The record is as it was. Take another stick."
        raise ShopError(said) from None


def check_copy(path: Path, record: Path) -> None:
    """Read a copy from the disk again, every page: Damaged when it isn't sound, and then nor is what it is of."""
    _forget_cached(path)
    with error_text(record), closing(engine.connect(path)) as made:
        sound = made.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok"
    if not sound:
        raise Damaged(sentence(record, "malformed"))


def _forget_cached(path: Path) -> None:
    """Have what is read next come from the disk itself, where the system can be asked to."""
    if hasattr(os, "posix_fadvise"):
        with path.open("rb") as file, suppress(OSError):
            os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def remember(record: Path, trouble: str, *, suspect: bool | None = None) -> None:
    """Keep what went wrong with the last copy, for the maker to see, and whether the record may be damaged."""
    keeps = copy_files.read_keeps(record)
    now = replace(keeps, trouble=trouble, suspect=keeps.suspect if suspect is None else suspect)
    if keeps != now:
        with suppress(OSError):
            copy_files.write_keeps(record, now)


@contextmanager
def part_beside(target: Path) -> Iterator[Path]:
    """Give an empty file beside a place, for its owner alone; gone at the end unless it was renamed."""
    try:
        with told_of_folder(target.parent), part_of(target) as part:
            yield part
    except sqlite3.Error as error:
        raise ShopError(f"{target.parent} can't be written to ({error}). The record is as it was.") from error


@contextmanager
def told_of_folder(folder: Path) -> Iterator[None]:
    """Say what the disk says of a folder that is written to."""
    try:
        yield
    except OSError as error:
        raise ShopError(f"{folder} can't be written to ({error.strerror}). The record is as it was.") from error
