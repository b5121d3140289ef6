"""One open archive: made a new record of, beside the one that is open."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.record.copies.archive import place_for
from shopclock.views.dialogs import Choice
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.screens.files.keeping import Keeping
    from shopclock.screens.paged.paged_presenter import PagedPresenter


def archive_page(stack: PagedPresenter, keeping: Keeping, archive: Path) -> PageContent:
    """What an archive becomes, that nothing else is touched, and having it so."""
    place = place_for(archive, keeping.record.path.parent)
    made = partial(_made, stack, keeping, place)
    return PageContent(
        archive.name,
        [f"It becomes a record of its own: {place}", "The record that is open stays as it is."],
        actions=[
            item("make", "Make a record of it", lambda: keeping.unarchive(archive, place, made), role="primary"),
        ],
    )


def _made(stack: PagedPresenter, keeping: Keeping, place: Path) -> None:
    def go(answer: str | None) -> None:
        if answer == "open":
            keeping.open_other(place)
        else:
            stack.back()

    choices = (
        Choice("open", "Open it now", "this window closes and opens again on it"),
        Choice("stay", "Stay here", f"later: shopclock --record {place}"),
    )
    stack.dialogs.ask(f"{place.name} is made", choices, go)
