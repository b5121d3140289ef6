"""Writing all of a record to a new place when the file at its own can't be kept in any more.

First by what SQLite still has open: a file that has lost its name goes on as long as it is open. Where that doesn't
give the newest press, or the bytes themselves were changed: the newest sound state of the shop that there is (the file
as it lies now, a copy, what is kept for a stick), and on it the presses since, which the session has in memory.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.record.check.rebuild import rebuild_on
from shopclock.record.file import copy_files, heartbeat, schema
from shopclock.record.file.engine import connect, raw
from shopclock.record.file.error_text import NoRoom, error_text, has_no_room
from shopclock.record.file.guard import Away
from shopclock.record.file.identity import identity_of, read_through
from shopclock.record.file.on_disk import folder_on_disk, make_folder, on_disk
from shopclock.record.file.opening import holds_nothing, make_tables, set_log_aside
from shopclock.record.file.parts import part_of, remove_with_tails
from shopclock.record.file.place import ENDING, usual_place
from shopclock.record.file.refuge import refuge_at
from shopclock.record.file.session import NONE, newest_of
from shopclock.record.rescue.moved import note_moved
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from shopclock.record.file.refuge import Refuge
    from shopclock.record.file.session import Newest, Pressed
    from shopclock.record.press.record import Record

GOES_ON = "goes on"
FULL = "The disk of {path} is full. Nothing was written. Make room there, or name another place."


@dataclass(frozen=True, slots=True)
class Rescued:
    """Record written elsewhere: where it lies, and how many presses were in no state that could be found."""

    path: Path
    missing: int = 0


def free_place(record: Record) -> Path:
    """Return where a record can go on: its own place where nothing is there any more, else one in the user's folder."""
    trouble, path = record.file.trouble, record.path
    if trouble is not None and trouble.why is Away.GONE and (path.parent.is_dir() or path == usual_place()):
        return path
    return place_here(path)


def place_here(path: Path) -> Path:
    """Return a place in the user's own folder at which the record of another place can go on."""
    usual = usual_place()
    place, number = usual.with_name(f"{path.stem} {GOES_ON}{ENDING}"), 1
    while place.exists() or place.is_symlink():
        number += 1
        place = usual.with_name(f"{path.stem} {GOES_ON} ({number}){ENDING}")
    return place


def rescue(record: Record, target: Path) -> Rescued:
    """Write all of a record to a new place, where the window can go on. ShopError: nothing was written, and why."""
    with _new_place(target), part_of(target) as part:
        newest = _fill(record, part)
        _tidy(part)
        on_disk(part)
        if newest == record.file.session.newest:
            remove_with_tails(target, of_it=False)  # a log of the file that is gone holds nothing more
        else:
            set_log_aside(target)
        part.replace(target)
        folder_on_disk(target.parent)
    with suppress(OSError):  # the window that goes on there has been at work all the time
        moment = record.clock.moment()
        heartbeat.write(target, heartbeat.heartbeat_of(moment, record.instant(moment)))
    if target != record.path:
        if newest == record.file.session.newest:
            _leave_no_log(record)
        note_moved(record.path, target)
    return Rescued(target, max(0, record.file.session.newest.id - newest.id))


def _leave_no_log(record: Record) -> None:
    """Take the log from beside a file that it isn't of: read with that it would spoil it, and all of it is written."""
    with suppress(OSError):
        if identity_of(record.path) != record.file.identity:
            remove_with_tails(Path(os.path.realpath(record.path)), of_it=False)


def write_refuge(refuge: Refuge, target: Path) -> None:
    """Write what a refuge holds to a new place: its copy, and on it each press since. ShopError: nothing is there."""
    with _new_place(target), part_of(target) as part:
        _copy_alone(refuge.base, part)
        with closing(connect(part)) as made:
            newest = newest_of(made)
        rebuild_on([pressed for pressed in refuge.presses() if pressed.newest.id > newest.id], part)
        _tidy(part)
        on_disk(part)
        set_log_aside(target)
        part.replace(target)
        folder_on_disk(target.parent)
    note_moved(refuge.path, target)


@contextmanager
def _new_place(target: Path) -> Iterator[None]:
    """Have the folder of a place that nothing lies at. ShopError: why nothing could be written there."""
    with error_text(target):
        if not holds_nothing(target):
            raise ShopError(f"{target} is there already. Nothing was written. Name a new file.")
        try:
            make_folder(target.parent)
            yield
        except (ShopError, sqlite3.Error, OSError) as error:
            if has_no_room(error):
                raise NoRoom(FULL.format(path=target)) from error
            raise


def _fill(record: Record, part: Path) -> Newest:
    """Fill a part with the newest state that can be had; return its newest press."""
    session = record.file.session
    if not _is_changed_within(record) and _through_what_is_open(record, part):
        return session.newest
    found: tuple[Newest, Callable[[Path], None]] | None = None
    for fill in _states(record):
        try:
            newest = _filled(fill, part, record)
            if newest is not None and (found is None or newest.id > found[0].id):
                found = (newest, fill)
            if newest is not None and (since := _presses_since(record, newest)) is not None:
                rebuild_on(since, part)
                return session.newest
        except (ShopError, sqlite3.Error, OSError) as error:
            if has_no_room(error):  # no other state would fit either
                raise
    if found is None:
        raise ShopError(
            f"No sound state of {record.path} could be found. Nothing was written. Leave this window open: plug the "
            "disk in again, or put a copy in its place."
        )
    _filled(found[1], part, record)
    return found[0]


def _is_changed_within(record: Record) -> bool:
    """Tell whether the bytes of the file that was opened were changed: what is read of it can be of two states."""
    trouble = record.file.trouble
    if trouble is None or trouble.why is Away.SPOILT:
        return trouble is not None
    with suppress(OSError):
        return trouble.why in (Away.OLDER, Away.OTHER) and identity_of(record.path) == record.file.identity
    return False


def _through_what_is_open(record: Record, part: Path) -> bool:
    """Copy what SQLite has open, whatever its name is; tell whether that gave all of it."""
    try:
        with closing(connect(part)) as new:
            raw(record.file.engine).backup(new)
        with closing(connect(part)) as new:
            return _is_sound(new) and newest_of(new) == record.file.session.newest
    except sqlite3.Error as error:
        if has_no_room(error):
            raise
        return False


def _states(record: Record) -> Iterator[Callable[[Path], None]]:
    """Yield what fills a part with a state of the shop: the file as it lies now, copies, nothing at all."""
    if (refuge := refuge_at(record.path)) is not None:
        yield lambda part: _copy_alone(refuge.base, part)
    yield lambda part: _copy_alone(record.path, part)
    for copy in copy_files.copies_of(record.path):
        yield lambda part, path=copy.path: _copy_alone(path, part)  # type: ignore[misc]  # mypy knows no such default
    if record.file.session.after == NONE:
        yield lambda part: make_tables(part, draft=True).dispose()


def _copy_alone(path: Path, part: Path) -> None:
    """Copy the bytes of a file without its log, which is of another state."""
    with part.open("rb+") as file:
        for some in read_through(path):
            file.write(some)


def _filled(fill: Callable[[Path], None], part: Path, record: Record) -> Newest | None:
    """Fill a part; return its newest press, or nothing where it is no sound state of this shop."""
    remove_with_tails(part, of_it=False)
    part.write_bytes(b"")
    fill(part)
    with closing(connect(part)) as made:
        heads = [made.execute(f"PRAGMA {name}").fetchone()[0] for name in ("application_id", "user_version")]
        if heads != [schema.APPLICATION_ID, schema.VERSION] or not _is_sound(made):
            return None
        shop = made.execute("SELECT uuid FROM shop ORDER BY id LIMIT 1").fetchone()
        newest = newest_of(made)
        return newest if shop is None or shop[0] == record.file.shop_uuid else None


def _presses_since(record: Record, newest: Newest) -> list[Pressed] | None:
    """Return each press after one of a state, up to the newest; nothing where one of them is nowhere."""
    session, refuge = record.file.session, refuge_at(record.path)
    known = {pressed.newest.id: pressed for pressed in (*(refuge.presses() if refuge else ()), *session.presses)}
    at = session.after if newest.id == session.after.id else known[newest.id].newest if newest.id in known else newest
    wanted = range(newest.id + 1, session.newest.id + 1)
    if at != newest or any(number not in known for number in wanted):
        return None
    return [known[number] for number in wanted]


def _is_sound(connection: sqlite3.Connection) -> bool:
    return bool(connection.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok")


def _tidy(part: Path) -> None:
    """Leave one file, with nothing beside it."""
    with closing(connect(part)) as made:
        made.execute("PRAGMA journal_mode = DELETE")
