"""All that was noted in a batch: about stretches of work, pieces, and the batch itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title
from shopclock.shop.work.noting import notes_of
from shopclock.views.page import PageContent, action, void

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Batch


def notes_page(stack: PagedPresenter, batch: Batch) -> PageContent:
    """Page of the notes of a batch, the oldest first; those of old notes stand among them."""
    floor = stack.record.load_batch(batch.id)
    found = notes_of(floor, batch.id, stack.record.instant())
    tiles = [action(f"note {n}", noted.text, void, noted.about) for n, noted in enumerate(found)]
    return PageContent(f"Notes of {batch_title(floor, batch)}", ["" if found else "Nothing is noted yet."], tiles)
