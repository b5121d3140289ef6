"""Review without a window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.review.pages.batch import ReviewPage
from shopclock.screens.review.reviewing import Reviewing

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import ShowScreen
    from shopclock.views.dialogs import Dialogs


class ReviewPresenter(Reviewing):
    """The pages of Review, beginning with the batch."""

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen, to_spreadsheet: Callable[..., None]) -> None:
        super().__init__(record, dialogs, go, to_spreadsheet)
        self.open(ReviewPage(self))
