"""What the pages of Plan rest on: who reckons beside the window, how money is written, where the calendar goes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.paged_presenter import PagedPresenter

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.shop.values.money import Manner
    from shopclock.views.dialogs import Dialogs


class Planning(PagedPresenter):
    """Pages that ask `work` to reckon beside the window."""

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen, work: WorkRunner, manner: Manner) -> None:
        super().__init__(record, dialogs, go)
        self.work = work
        self.manner = manner
        self.to_calendar: Callable[[], None] = lambda: dialogs.tell("There is no folder for it. Nothing was written.")
