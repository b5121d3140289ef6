"""The review of a batch, worked out once until the next press or the next minute."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.review.review import Review, review
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import MINUTE_US

if TYPE_CHECKING:
    from shopclock.screens.base_presenter import BasePresenter


def reviewed(stack: BasePresenter, batch_id: int) -> Review:
    """Review a batch of the record, a closed one too."""
    now_us = stack.record.instant()
    key = (batch_id, now_us // MINUTE_US)
    if key not in stack.floor.memo(_REVIEWS):
        floor = stack.record.load_batch(batch_id)
        stack.floor.memo(_REVIEWS)[key] = review(floor, stack.record.reads.stage_rows(now_us), batch_id, now_us)
    return stack.floor.memo(_REVIEWS)[key]


_REVIEWS: Memo[tuple[int, int], Review] = Memo()
