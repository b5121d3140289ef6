"""Presenter of Batches, without a window."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.pages.listing import all_batches_page
from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.paged.paged_presenter import PagedPresenter

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.views.dialogs import Dialogs


class BatchesPresenter(PagedPresenter):
    """The pages of Batches, beginning with the list of all."""

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen, to_spreadsheet: Callable[[], None]) -> None:
        super().__init__(record, dialogs, go)
        self.open(DescribedPage(self, partial(all_batches_page, to_spreadsheet=to_spreadsheet)))
