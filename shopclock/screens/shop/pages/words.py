"""What the shop calls a piece, a finished one, a batch, a stage, a load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.setup.list_edit import set_word
from shopclock.shop.values.entities import Word
from shopclock.views.field import Text, field
from shopclock.views.page import PageContent

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

MEANT = {
    "piece": "What is worked on",
    "finished": "What it is when finished",
    "batch": "What is started together",
    "stage": "A kind of work",
    "load": "What goes into an oven at once",
}


def words_page(stack: PagedPresenter) -> PageContent:
    """The shop's own words, one and many."""
    words = [_word(stack, word) for word in stack.floor.all(Word)]
    return PageContent("The shop's own words", ["Every screen, sheet and print uses them."], words)


def _word(stack: PagedPresenter, word: Word) -> Action:
    def ask() -> Asking[tuple[str, str]]:
        one = yield from Text(f"{MEANT[word.name]}: one", word.one)
        many = yield from Text(f"{MEANT[word.name]}: two or more", word.many if one == word.one else one)
        return one, many

    def take(said: tuple[str, str]) -> None:
        stack.do(f"Word: {said[0]}", lambda tx: set_word(tx, word, *said))

    return field(word.name, MEANT[word.name], f"one {word.one}, two {word.many}", ask(), take)
