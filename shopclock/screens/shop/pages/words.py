"""What the shop calls a piece, a finished one, a batch, a stage, a load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.setup.list_edit import set_word
from shopclock.shop.values.entities import Word
from shopclock.views.page import Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action

MEANT = {
    "piece": "What is worked on",
    "finished": "What it is when finished",
    "batch": "What is started together",
    "stage": "A kind of work",
    "load": "What goes into an oven at once",
}


class WordsPage(Page):
    """The shop's own words, one and many."""

    def __init__(self, stack: PagedPresenter) -> None:
        self._stack = stack

    def title(self) -> str:
        """What it is."""
        return "The shop's own words"

    def lines(self) -> Sequence[TextLine]:
        """Where they are used."""
        return (TextLine("Every screen, sheet and print uses them."),)

    def offers(self) -> Sequence[Action]:
        """The words."""
        return [self._word(word) for word in self._stack.floor.all(Word)]

    def _word(self, word: Word) -> Action:
        return action(
            word.name, MEANT[word.name], calling(lambda: self._ask_one(word)), detail=f"one {word.one}, two {word.many}"
        )

    def _ask_one(self, word: Word) -> None:
        self._stack.dialogs.text(f"{MEANT[word.name]}: one", word.one, on_answer(lambda one: self._ask_many(word, one)))

    def _ask_many(self, word: Word, one: str) -> None:
        start = word.many if one == word.one else one
        self._stack.dialogs.text(
            f"{MEANT[word.name]}: two or more", start, on_answer(lambda many: self._set(word, one, many))
        )

    def _set(self, word: Word, one: str, many: str) -> None:
        self._stack.do(f"Word: {one}", lambda tx: set_word(tx, word, one, many))
