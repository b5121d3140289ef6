"""The record as a spreadsheet, by one press: named by the day, in the maker's own documents."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.progress import Stopped

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.exchange.workbook.options import ExportOptions
    from shopclock.record.press.record import Record
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.views.dialogs import Dialogs


LONGEST = 60
"""Letters of a file's name that come from a heading."""


def documents() -> Path:
    """Return the folder that the maker's own files lie in."""
    import platformdirs

    folder = platformdirs.user_documents_path()
    return folder if folder.is_dir() else folder.home()


def free_place(folder: Path, name: str, ending: str) -> Path:
    """Return where a file of this name goes, with a number where there is one already."""
    kept = "".join(letter if letter.isalnum() or letter in " -,." else " " for letter in name)
    plain = " ".join(kept.split())[:LONGEST].strip(" .") or "chart"
    place, number = folder / f"{plain}{ending}", 1
    while place.exists():
        number += 1
        place = folder / f"{plain} ({number}){ending}"
    return place


class Exporting:
    """Writes the sheet beside the window's work and says where it lies."""

    def __init__(self, record: Record, dialogs: Dialogs, background: WorkRunner, folder: Path) -> None:
        self._record = record
        self._dialogs = dialogs
        self._background = background
        self._folder = folder
        self._running = False

    @property
    def folder(self) -> Path:
        """Folder that it goes to."""
        return self._folder

    def to_spreadsheet(self, batch_id: int | None = None) -> None:
        """Write what the record holds now, as a workbook: all of the shop, or one batch."""
        from shopclock.exchange.workbook.options import ExportOptions

        wanted = frozenset([batch_id]) if batch_id is not None else None
        self.write(ExportOptions(now_us=self._record.instant(), batch_ids=wanted))

    def write(self, options: ExportOptions, ending: str = ".xlsx") -> None:
        """Write a part of the record; a second press while one is being written does nothing."""
        if self._running:
            return
        from shopclock.exchange.workbook.export import WRITING, export_file

        self._running = True
        now = shop_time(self._record.instant(), zone_of(self._record.floor))
        path = free_place(self._folder, f"shopclock {now:%Y-%m-%d %H.%M}", ending)
        arguments = (self._record.path, path, options)
        self._background.run_long(WRITING, export_file, arguments, lambda _: self._done(path), self._failed)

    def _done(self, path: Path) -> None:
        self._running = False
        self._dialogs.tell(f"The spreadsheet is {path.name}, in {path.parent}.")

    def _failed(self, error: BaseException) -> None:
        self._running = False
        if not isinstance(error, Stopped):
            self._dialogs.tell(str(error))
