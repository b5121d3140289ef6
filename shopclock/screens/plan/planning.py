"""What the pages of Plan rest on: who reckons beside the window, how money is written, where the calendar goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.stack import PageStack

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.record import Record
    from shopclock.screens.paged.stack import Go
    from shopclock.screens.work import Work
    from shopclock.shop.money import Manner
    from shopclock.widgets.dialogs import Dialogs


class Planning(PageStack):
    """Pages that ask `work` to reckon beside the window."""

    def __init__(self, record: Record, dialogs: Dialogs, go: Go, work: Work, manner: Manner) -> None:
        super().__init__(record, dialogs, go)
        self.work = work
        self.manner = manner
        self.to_calendar: Callable[[], None] = lambda: dialogs.tell("There is no folder for it. Nothing was written.")
