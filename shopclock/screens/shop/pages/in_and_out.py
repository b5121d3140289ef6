"""All that comes in and goes out, in one place: notes, spreadsheets, paper, copies, the desk."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.shop.pages.settings import setting
from shopclock.shop.state import settings
from shopclock.shop.state.wording import word
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Page

    MakePage = Callable[[PagedPresenter], Page]


def in_and_out_page(stack: PagedPresenter, files: Mapping[tuple[str, str], MakePage]) -> PageContent:
    """A tile for each way in or out."""
    ways = [item(title.casefold(), title, partial(make, stack), detail) for (title, detail), make in files.items()]
    paper = item("paper", "Paper", lambda: DescribedPage(stack, paper_page), "cards, reviews, quotes")
    return PageContent(
        "In and out",
        ["What is written lies in your documents. What comes in is looked for there, too."],
        [*ways, paper],
    )


def paper_page(stack: PagedPresenter) -> PageContent:
    """Papers that there are, and where each is made: a press leads there."""
    batch, piece = word(stack.floor, "batch").one, word(stack.floor, "piece").many
    return PageContent(
        "What goes on paper",
        ["Each is printed, or saved as a PDF in your documents."],
        [
            item("card", "Card", partial(stack.go, "batches"), f"of an open {batch}, for the wall: {piece} and steps"),
            item("review", "Review", partial(stack.go, "review"), f"of a {batch}, by Print or save"),
            item("quote", "Quote", partial(stack.go, "plan"), "of an order"),
            setting(stack, "Size", settings.PAPER, {name: name for name in settings.PAPER.choices}),
        ],
    )
