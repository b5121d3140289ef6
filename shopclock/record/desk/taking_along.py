"""The file that is taken along: a copy of the record that says of itself that it is the desk's."""

from contextlib import closing
from pathlib import Path

from shopclock.record.copies.copying import CHECKING, backup, check_copy, part_beside
from shopclock.record.file.engine import connect, connect_reader
from shopclock.record.file.on_disk import folder_on_disk, on_disk
from shopclock.record.file.opening import open_reader
from shopclock.record.file.place import ENDING
from shopclock.record.file.schema import table_name
from shopclock.record.press.record import Record
from shopclock.shop.state.desk_copy import settle_at_desk
from shopclock.shop.values.clock import Clock
from shopclock.shop.values.entities import Checkout
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress

TAKEN = "Taken along"
AT_DESK = "at the desk"


def free_place(folder: Path, record: Path) -> Path:
    """Return where a desk's copy goes in a folder, with a number where there is one already."""
    place, number = folder / f"{record.stem} {AT_DESK}{ENDING}", 1
    while place.exists():
        number += 1
        place = folder / f"{record.stem} {AT_DESK} ({number}){ENDING}"
    return place


def take_along(record: Path, target: Path, clock: Clock, progress: Progress = UNWATCHED) -> None:
    """Write the desk's copy of a record in which `hand_over` was pressed before. ShopError: nothing was written."""
    if target.exists() or not target.parent.is_dir():
        why = "is there already" if target.exists() else "can't be written there"
        raise ShopError(f"{target} {why}. Nothing was written. Name a new file.")
    open_reader(record).dispose()
    with part_beside(target) as part:
        backup(record, part, progress)
        copy = Record.open(part, clock)
        try:
            copy.press(TAKEN, lambda tx: settle_at_desk(tx, _checkout(part)), undoable=False)
        finally:
            copy.close()
        with closing(connect(part)) as made:
            made.execute("PRAGMA journal_mode = DELETE")  # it needs no files beside it
        progress.at(0, 0, CHECKING)
        check_copy(part, record)
        on_disk(part)
        part.replace(target)
        folder_on_disk(target.parent)


def _checkout(part: Path) -> int:
    """Return the number of the checkout that came last into a record, whatever any clock says; 0 for none."""
    query = "SELECT number FROM journal WHERE thing = ? AND before IS NULL ORDER BY id DESC LIMIT 1"
    with closing(connect_reader(part)) as connection:
        found = connection.execute(query, (table_name(Checkout),)).fetchone()
    return found[0] if found is not None else 0
