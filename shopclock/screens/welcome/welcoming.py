"""While there is no record at its place: going on with one that is somewhere, a copy, an archive, a desk's.

A record that is gone and has copies offers the newest, with its age.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.record.copies.archive import archives_in
from shopclock.record.copies.copying import COPYING
from shopclock.record.copies.restoring import restore
from shopclock.record.copies.unarchive import UNARCHIVING, unarchive
from shopclock.record.file.copy_files import copies_of, usual_folder
from shopclock.record.file.leftovers import lone_log
from shopclock.record.file.on_disk import make_folder
from shopclock.record.file.place import ENDING
from shopclock.shop.setup.copy_schedule import age_text
from shopclock.shop.state.wording import clock_time, day_text, shop_time
from shopclock.shop.values.habits import figure
from shopclock.shop.values.progress import Stopped
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, Text, ask

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from zoneinfo import ZoneInfo

    from shopclock.screens.files.desk_copy import Drives
    from shopclock.screens.long_work.runner import Task, WorkRunner
    from shopclock.views.dialogs import Dialogs
    from shopclock.views.field import Asking

MOST = 5
"""So many copies are offered; older ones can be typed."""
TYPED = "typed"


class Welcoming:
    """Records that there are to go on with, and going on with one of them."""

    def __init__(
        self, record: Path, dialogs: Dialogs, background: WorkRunner, drives: Drives, open_at: Callable[[Path], None]
    ) -> None:
        self._record = record
        self._dialogs = dialogs
        self._background = background
        self._drives = drives
        self._open_at = open_at
        self._copies = copies_of(record)

    def gone(self, now_us: int) -> str:
        """Say that the record is gone where it has copies, or a log still lies there; otherwise nothing."""
        log = " What was pressed last is in its log, which lies there: put the file back, and nothing is lost."
        log = log if lone_log(self._record) is not None else ""
        if not self._copies:
            return f"The record {self._record.name} is not where it was.{log}" if log else ""
        age = age_text(self._copies[0].at_us, now_us)
        return f"The record {self._record.name} is not where it was. Its newest copy is {age}.{log}"

    def ask(self, now_us: int, zone: ZoneInfo) -> None:
        """Ask which of all there are it is to be."""
        ask(self._dialogs, self._which(now_us, zone), lambda file: self._go_on_with(file, now_us))

    def _which(self, now_us: int, zone: ZoneInfo) -> Asking[Path]:
        ways = [*self._copy_choices(now_us, zone), *self._file_choices(now_us)]
        ways.append(Choice(TYPED, "Another file", "typed: a copy, an archive, the desk's"))
        key = yield from Pick("Which record", ways)
        if key != TYPED:
            return Path(key)
        return Path((yield from Text("The file", str(Path.home()))).strip()).expanduser()

    def _copy_choices(self, now_us: int, zone: ZoneInfo) -> list[Choice]:
        found: list[Choice] = []
        for copy in self._copies[:MOST]:
            at = shop_time(copy.at_us, zone)
            detail = f"{age_text(copy.at_us, now_us)}, {figure(copy.size / 1_000_000)} MB"
            role = "plate" if found else "primary"
            found.append(Choice(str(copy.path), f"The copy of {day_text(at.date())} {clock_time(at)}", detail, role))
        return found

    def _file_choices(self, now_us: int) -> list[Choice]:
        places = [place for _, place in self._drives()]
        copies = [path for place in places for path in _records_in(place)]
        archives = [one for place in (usual_folder(self._record), *places) for one in archives_in(place)]
        return [
            *(Choice(str(path), path.stem, f"in {path.parent}") for path in copies[:MOST]),
            *(Choice(str(a.path), a.path.stem, f"an archive, {age_text(a.at_us, now_us)}") for a in archives[:MOST]),
        ]

    def _go_on_with(self, file: Path, now_us: int) -> None:
        """A desk's copy is opened where it lies; all else becomes the record at its place."""
        if file.suffix.lower() == ".zip":
            self._make(UNARCHIVING, unarchive, (file, self._record))
        elif _is_desks(file):
            self._open_at(file)
        else:
            self._make(COPYING, restore, (self._record, file, now_us))

    def _make(self, words: str, task: Task, arguments: tuple[object, ...]) -> None:
        def wrong(error: BaseException) -> None:
            if not isinstance(error, Stopped):
                self._dialogs.tell(str(error))

        try:
            make_folder(self._record.parent)
        except OSError as error:
            self._dialogs.tell(f"{self._record.parent} can't be made ({error.strerror}). Nothing was written.")
            return
        self._background.run_long(words, task, arguments, lambda _: self._open_at(self._record), wrong)


def _records_in(place: Path) -> Sequence[Path]:
    try:
        return sorted(path for path in place.glob(f"*{ENDING}") if path.is_file())
    except OSError:
        return []


def _is_desks(file: Path) -> bool:
    """Tell whether a file is a desk's copy; what can't be opened is none, and says so when it is taken."""
    from shopclock.record.read.read_only import ReadOnlyRecord
    from shopclock.shop.state.desk_copy import at_desk
    from shopclock.shop.values.errors import ShopError

    try:
        with ReadOnlyRecord.open(file) as reading:
            return at_desk(reading.floor) is not None
    except (ShopError, OSError):
        return False
