"""Presenter of Batches, without a window."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.pages.listing import all_batches_page
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.paged.paged_presenter import PagedPresenter

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from shopclock.analysis.plan.to_come import HoursToCome
    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.views.dialogs import Dialogs


class BatchesPresenter(PagedPresenter):
    """The pages of Batches, beginning with the list of all."""

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen, to_spreadsheet: Callable[[], None]) -> None:
        super().__init__(record, dialogs, go)
        self._hours: AsyncAnswer[dict[int, HoursToCome]] | None = None
        self.open(DescribedPage(self, partial(all_batches_page, to_spreadsheet=to_spreadsheet, to_come=self._to_come)))

    def reckon_by(self, work: WorkRunner) -> None:
        """Have the hours to come worked out by this."""
        self._hours = AsyncAnswer(work, self.changed)

    def _to_come(self) -> Mapping[int, HoursToCome]:
        """Hours to come of the open batches; none until they are worked out, or where they can't be told."""
        from shopclock.analysis.plan.to_come import hours_to_come

        if self._hours is None:
            return {}
        self._hours.ask(self.record.next_undo, partial(hours_to_come, str(self.record.path), self.record.instant()))
        return self._hours.answer or {}
