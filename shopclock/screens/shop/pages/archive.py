"""One open archive: made a new record of, beside the one that is open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.record.copies.archive import place_for
from shopclock.views.dialogs import Choice
from shopclock.views.page import Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from shopclock.screens.files.keeping import Keeping
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action


class ArchivePage(Page):
    """What an archive becomes, and having it so."""

    def __init__(self, stack: PagedPresenter, keeping: Keeping, archive: Path) -> None:
        self._stack = stack
        self._keeping = keeping
        self._archive = archive
        self._place = place_for(archive, keeping.record.path.parent)

    def title(self) -> str:
        """Which it is."""
        return self._archive.name

    def lines(self) -> Sequence[TextLine]:
        """Where it goes, and that nothing else is touched."""
        return (
            TextLine(f"It becomes a record of its own: {self._place}"),
            TextLine("The record that is open stays as it is."),
        )

    def actions(self) -> Sequence[Action]:
        """Do it."""
        return [action("make", "Make a record of it", calling(self._make), role="primary")]

    def _make(self) -> None:
        self._keeping.unarchive(self._archive, self._place, self._ask)

    def _ask(self) -> None:
        choices = (
            Choice("open", "Open it now", "this window closes and opens again on it"),
            Choice("stay", "Stay here", f"later: shopclock --record {self._place}"),
        )
        self._stack.dialogs.ask(f"{self._place.name} is made", choices, self._go)

    def _go(self, answer: str | None) -> None:
        if answer == "open":
            self._keeping.open_other(self._place)
        else:
            self._stack.back()
