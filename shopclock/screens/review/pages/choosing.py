"""Choosing a batch to review."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title
from shopclock.shop.state.wording import day_text, shop_time, word, zone_of
from shopclock.shop.values.entities import Batch
from shopclock.views.page import Page, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.review.reviewing import Reviewing
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.page import Action


class EveryBatch(Page):
    """All batches, the newest first."""

    def __init__(self, stack: Reviewing) -> None:
        self._stack = stack

    def title(self) -> str:
        """What is asked."""
        return f"Which {word(self._stack.floor, 'batch').one}?"

    def offers(self) -> Sequence[Action]:
        """A tile for each."""
        return [
            action(
                f"batch {batch.id}",
                batch_title(self._stack.floor, batch),
                calling(partial(self._stack.choose, batch.id)),
                detail=closed_text(self._stack.floor, batch),
                checked=batch.id == self._stack.batch_id(),
            )
            for batch in newest_first(self._stack.floor)
        ]


def newest_first(floor: ShopFloor) -> list[Batch]:
    """All batches, the last started first."""
    return sorted(floor.all(Batch), key=lambda batch: (-batch.started_us, -batch.id))


def closed_text(floor: ShopFloor, batch: Batch) -> str:
    """When a batch was closed: closed Thu 26 Nov 2026; or open."""
    if batch.closed_us is None:
        return "open"
    day = shop_time(batch.closed_us, zone_of(floor)).date()
    return f"closed {day_text(day)} {day.year}"
