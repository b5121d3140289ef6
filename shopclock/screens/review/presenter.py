"""What Review shows and does, without a window."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.review.pages.batch import ReviewPage
from shopclock.screens.review.reviewing import Reviewing

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.record import Record
    from shopclock.screens.paged.stack import Go
    from shopclock.widgets.dialogs import Dialogs


class ReviewPresenter(Reviewing):
    """The pages of Review, beginning with the batch."""

    def __init__(self, record: Record, dialogs: Dialogs, go: Go, to_spreadsheet: Callable[[], None]) -> None:
        super().__init__(record, dialogs, go, to_spreadsheet)
        self.open(ReviewPage(self))
