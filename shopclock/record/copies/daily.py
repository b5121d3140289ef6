"""The copy of a day: made where the maker wants it, looked through, the older ones thinned."""

import sqlite3
from collections.abc import Mapping
from contextlib import closing, suppress
from functools import partial
from pathlib import Path
from zoneinfo import ZoneInfo

from shopclock.record.copies.copying import CopyMade, copy_to, remember, told_of_folder
from shopclock.record.copies.soundness import known, wrong_with
from shopclock.record.file import copy_files, engine, opening
from shopclock.record.file.codec import zone_of
from shopclock.record.file.copy_files import Copy
from shopclock.record.file.error_text import Damaged, Unsound, error_text
from shopclock.record.file.on_disk import make_folder
from shopclock.record.file.parts import clear_parts
from shopclock.record.file.session import newest_of
from shopclock.shop.setup.copy_schedule import due, kept
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress, Stopped

LOOKING = "Looking through the copy"
UNSOUND_KEPT = 2
"""So many copies that don't hold together are kept: they have the newest presses, and are never offered."""


def keep_copy_if_due(record: Path, now_us: int, progress: Progress = UNWATCHED) -> CopyMade | None:
    """Make a copy on another day than the newest one, or hours after it; otherwise as `keep_copy`."""
    newest = next((copy.at_us for copy in copy_files.copies_of(record) if not copy.before), None)
    with error_text(record):
        _, zone = _shop(record)
    return keep_copy(record, now_us, progress) if due(newest, now_us, zone) else None


def keep_copy(record: Path, now_us: int, progress: Progress = UNWATCHED, *, quick: bool = False) -> CopyMade | None:
    """Make a copy where the maker wants it, else beside the record; nothing where there is nothing new since.

    It is looked through as `check` does, and sound copies that are no longer needed go; neither where it has to be
    `quick`. ShopError says why there is none; Damaged that the record can't be read, Unsound that it was copied as it
    is and does not hold together.
    """
    if opening.holds_nothing(record):
        raise ShopError(f"There is no record at {record}. Nothing was made.")
    if not changed(record):
        return None
    folder, beside = copy_files.read_keeps(record).folder, copy_files.usual_folder(record)
    keep_in = partial(_keep_in, record, now_us=now_us, progress=progress, quick=quick)
    try:
        made = keep_in(Path(folder) if folder else beside, make=not folder)
    except Stopped:
        raise
    except Damaged as error:
        remember(record, str(error), suspect=True)
        raise
    except ShopError as error:
        remember(record, str(error))
        if not folder:
            raise
        made = CopyMade(keep_in(beside, make=True).path, str(error))
    remember(record, made.trouble, suspect=None if quick else False)
    return made


def changed(record: Path) -> bool:
    """Tell whether a record holds presses that its newest copy does not."""
    newest = next((copy for copy in copy_files.copies_of(record) if not copy.before), None)
    if newest is None:
        return True
    try:
        return _newest_press(newest.path) != _newest_press(record)
    except (ShopError, sqlite3.Error, OSError):
        return True


def _keep_in(record: Path, folder: Path, *, now_us: int, progress: Progress, make: bool, quick: bool) -> CopyMade:
    with error_text(record):
        shop_uuid, zone = _shop(record)
    with told_of_folder(folder):
        if make:
            make_folder(folder)
            with suppress(OSError):  # an older version let everybody look in
                folder.chmod(0o700)
        elif not folder.parent.is_dir():
            raise ShopError(f"{folder} is not there.")
        else:
            make_folder(folder)
    target = folder / copy_files.name_of(record, now_us, shop_uuid)
    while target.exists():  # two in a second: the one before may be the last good one
        now_us += copy_files.US
        target = folder / copy_files.name_of(record, now_us, shop_uuid)
    clear_parts(folder)
    copy_to(record, target, progress)
    if not quick:
        progress.at(0, 0, LOOKING)
        wrong = wrong_with(target)
        ours = [c for c in copy_files.copies_in(folder, record) if c.shop == shop_uuid[:8] and not c.before]
        sound = known(record, ours, {target.name: not wrong})
        if wrong:
            raise Unsound(record, wrong[0])
        _thin(ours, sound, zone)
    return CopyMade(target)


def _thin(ours: list[Copy], sound: Mapping[str, bool], zone: ZoneInfo) -> None:
    """Remove sound copies that no day, week or month needs, and unsound ones but the newest; others aren't touched."""
    good = [copy for copy in ours if sound.get(copy.path.name)]
    bad = [copy for copy in ours if sound.get(copy.path.name) is False]
    keep = kept((copy.at_us for copy in good), zone)
    for copy in (*(copy for copy in good if copy.at_us not in keep), *bad[UNSOUND_KEPT:]):
        with suppress(OSError):
            copy.path.unlink()


def _shop(record: Path) -> tuple[str, ZoneInfo]:
    with closing(engine.connect_reader(record)) as connection:
        uuid, zone = engine.first_row(connection, "uuid, zone", "shop")
    return str(uuid), zone_of(zone)


def _newest_press(path: Path) -> str:
    with error_text(path), closing(engine.connect_reader(path)) as connection:
        return newest_of(connection).uuid
