"""The plan as a calendar by one press: always the same file in the maker's own documents, so that it can be renewed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.planning.calendar_events import remember
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.exchange.calendar import Written
    from shopclock.record.press.record import Record
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.views.dialogs import Dialogs

NAME = "shopclock.ics"


class ToCalendar:
    """Writes the file beside the window and says where it lies."""

    def __init__(self, record: Record, dialogs: Dialogs, work: WorkRunner, folder: Path) -> None:
        self._record = record
        self._dialogs = dialogs
        self._work = work
        self._place = folder / NAME

    def write(self) -> None:
        """Write plan, waits, promises and what spoils as they are now."""
        from shopclock.exchange.calendar import calendar_file

        arguments = (str(self._record.path), str(self._place), self._record.instant())
        self._work.run(calendar_file, arguments, self._done, lambda error: self._dialogs.tell(str(error)))

    def _done(self, written: Written) -> None:
        """Remember what was written, so that it can be taken off when it is no longer so; and say where it lies."""
        why = written.why
        try:
            self._record.press("Calendar", lambda tx: remember(tx, written.events), undoable=False)
        except ShopError as error:
            self._dialogs.tell(str(error))
        said = (
            f"The calendar is {self._place.name}, in {self._place.parent}. Import it there again when the plan changes."
        )
        self._dialogs.tell(f"{said} It has no plan in it: {why}" if why else said)
