"""The review of a batch, worked out once until the next press or the next minute."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.review.review import Review, review
from shopclock.shop.state.wording import MINUTE_US

if TYPE_CHECKING:
    from shopclock.screens.base_presenter import BasePresenter


def reviewed(stack: BasePresenter, batch_id: int) -> Review:
    """Review a batch of the record, a closed one too."""
    now_us, memo = stack.record.instant(), stack.floor.memo
    key = ("review", batch_id, now_us // MINUTE_US)
    found = memo.get(key)
    if not isinstance(found, Review):
        floor = stack.record.load_batch(batch_id)
        found = review(floor, stack.record.reads.stage_rows(now_us), batch_id, now_us)
        stack.floor.memo[key] = found
    return found
