"""Choosing a batch to review."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.offers import calling, offer
from shopclock.screens.paged.page import Page
from shopclock.shop.values import Batch
from shopclock.shop.wording import day_text, shop_time, word, zone_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.page import Offer
    from shopclock.screens.review.reviewing import Reviewing
    from shopclock.shop.floor import Floor


class EveryBatch(Page):
    """All batches, the newest first."""

    def __init__(self, stack: Reviewing) -> None:
        self._stack = stack

    def title(self) -> str:
        """What is asked."""
        return f"Which {word(self._stack.floor, 'batch').one}?"

    def offers(self) -> Sequence[Offer]:
        """A tile for each."""
        return [
            offer(
                f"batch {batch.id}",
                batch_title(self._stack.floor, batch),
                calling(partial(self._stack.choose, batch.id)),
                detail=closed_text(self._stack.floor, batch),
                checked=batch.id == self._stack.batch_id(),
            )
            for batch in newest_first(self._stack.floor)
        ]


def newest_first(floor: Floor) -> list[Batch]:
    """All batches, the last started first."""
    return sorted(floor.all(Batch), key=lambda batch: (-batch.started_us, -batch.id))


def closed_text(floor: Floor, batch: Batch) -> str:
    """When a batch was closed: closed Thu 26 Nov 2026; or open."""
    if batch.closed_us is None:
        return "open"
    day = shop_time(batch.closed_us, zone_of(floor)).date()
    return f"closed {day_text(day)} {day.year}"
