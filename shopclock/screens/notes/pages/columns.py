"""Which column is what: the first rows of the file, each column under a button that says what it is taken for."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.exchange.notes_columns import What, letter
from shopclock.screens.notes import words
from shopclock.screens.paged.offers import calling, offer, on_answer
from shopclock.screens.paged.page import Body, Line, Page

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.notes.pages.notes import NotesPage
    from shopclock.screens.paged.page import Offer
    from shopclock.screens.paged.stack import PageStack


class ColumnsPage(Page):
    """The columns of one file."""

    body = Body.TABLE

    def __init__(self, stack: PageStack, notes: NotesPage) -> None:
        self._stack = stack
        self._notes = notes

    def title(self) -> str:
        """What is asked."""
        return "What each column is"

    def lines(self) -> Sequence[Line]:
        """How it is changed, and what is missing."""
        seen = self._notes.seen
        if seen is not None and seen.missing:
            return (Line(f"No column is the {' or the '.join(seen.missing)} yet. Press the one that is.", "straw"),)
        return (Line("Press a column to say what it is."),)

    def offers(self) -> Sequence[Offer]:
        """The columns."""
        return [self._head(place) for place in range(self._width())]

    def rows(self) -> Sequence[tuple[str, ...]]:
        """The first rows, under what stands over them in the file."""
        seen = self._notes.seen
        if seen is None:
            return ()
        heads = [seen.columns.heads] if seen.columns.heads else []
        return [*heads, *seen.rows]

    def _width(self) -> int:
        return max((len(row) for row in self.rows()), default=0)

    def _head(self, place: int) -> Offer:
        seen = self._notes.seen
        meant = words.meaning_at(seen.columns, place) if seen is not None else None
        said = meant.value.capitalize() if meant is not None else "Nothing"
        role = "raised" if meant is None else "plate"
        return offer(f"column {place}", said, calling(partial(self._ask, place)), detail=letter(place), role=role)

    def _ask(self, place: int) -> None:
        seen = self._notes.seen
        if seen is not None:
            take = on_answer(partial(self._take, place))
            self._stack.dialogs.ask(f"What column {letter(place)} is", words.meanings(seen.columns, place), take)

    def _take(self, place: int, key: str) -> None:
        """What one column is no other is: the one that was guessed before goes by this too."""
        meant = None if key == words.NOTHING else What(key)
        others = {at: what for at, what in self._notes.said.columns.items() if what is not meant or what is None}
        self._notes.say(columns={**others, place: meant})
