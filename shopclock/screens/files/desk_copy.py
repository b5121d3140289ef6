"""Taking the record along to a desk and bringing it back, from the window: long work beside it, one press to join."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.record.copies.copying import COPYING
from shopclock.record.desk.bringing_back import TRYING, bring_back, plan
from shopclock.record.desk.looking import LOOKING, look_through
from shopclock.record.desk.taking_along import TAKEN, free_place, take_along
from shopclock.record.file.place import ENDING
from shopclock.shop.state.desk_copy import at_desk, call_off, check_out
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import Stopped

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence
    from pathlib import Path

    from shopclock.record.desk.bringing_back import BringPlan
    from shopclock.record.desk.looking import Found
    from shopclock.record.press.record import Record
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.views.dialogs import Dialogs

    Drives = Callable[[], Sequence[tuple[str, Path]]]

BROUGHT = "What the desk changed is in the record. Undo takes it back."


class DeskCopies:
    """Writes desk's copies, finds them, looks through one and joins it with the record."""

    def __init__(self, record: Record, dialogs: Dialogs, background: WorkRunner, drives: Drives) -> None:
        self.record = record
        self.dialogs = dialogs
        self.drives = drives
        self._background = background

    @property
    def here_is_desk(self) -> bool:
        """True if this window has a desk's copy open."""
        return at_desk(self.record.floor) is not None

    def copies(self) -> list[Path]:
        """The desk's copies that can be reached, the newest first."""
        places = [self.record.path.parent, *(place for _, place in self.drives())]
        found = {path for place in places for path in _in(place) if path != self.record.path}
        return sorted(found, key=lambda path: path.stat().st_mtime, reverse=True)

    def take(self, folder: Path) -> None:
        """Have the record say that it is taken along, and write the desk's copy into a folder."""
        try:
            handed, _ = self.record.press(TAKEN, check_out, undoable=False)
        except ShopError as error:
            self.dialogs.tell(str(error))
            return
        target = free_place(folder, self.record.path)

        def wrong(error: BaseException) -> None:
            self.record.press(TAKEN, lambda tx: call_off(tx, handed), undoable=False)
            self._tell(error)

        def done(_: object) -> None:
            self.dialogs.tell(f"{target.name} is in {folder}. Open it at the desk; the shop goes on.")

        self._background.run_long(COPYING, take_along, (self.record.path, target, self.record.clock), done, wrong)

    def look(self, desk: Path, then: Callable[[Found], None]) -> None:
        """Look through a desk's copy."""
        self._background.run_long(LOOKING, look_through, (self.record.path, desk), then, self._tell)

    def plan(self, found: Found, to_desk: Collection[int], then: Callable[[BringPlan], None]) -> None:
        """Try what of it goes together with the record."""
        self._background.run_long(TRYING, plan, (self.record.path, found, tuple(to_desk)), then, self._tell)

    def join(self, planned: BringPlan) -> bool:
        """Take it into the record; tells whether that could be done."""
        try:
            bring_back(self.record, planned)
        except ShopError as error:
            self.dialogs.tell(str(error))
            return False
        self.dialogs.tell(BROUGHT)
        return True

    def _tell(self, error: BaseException) -> None:
        if not isinstance(error, Stopped):
            self.dialogs.tell(str(error))


def _in(place: Path) -> list[Path]:
    """Return what lies in a folder under the name of a desk's copy; nothing where it can't be read."""
    try:
        return [path for path in place.glob(f"*at the desk*{ENDING}") if path.is_file()]
    except OSError:
        return []
