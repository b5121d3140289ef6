"""What the pages about one batch have in common."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.page import Page
from shopclock.shop.values import Batch

if TYPE_CHECKING:
    from shopclock.screens.review.presenter import ReviewPresenter


class BatchPart(Page):
    """A page about a part of one batch."""

    def __init__(self, stack: ReviewPresenter, batch_id: int) -> None:
        self._stack = stack
        self._batch_id = batch_id

    def gone(self) -> bool:
        """Whether an Undo took the batch away."""
        return self._stack.floor.find(Batch, self._batch_id) is None
