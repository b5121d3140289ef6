"""The pages of the manual: its chapters, and one of them to read."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.described import DescribedPage
from shopclock.views.page import Body, PageContent, item

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.manual.chapters import Chapter
    from shopclock.screens.paged.paged_presenter import PagedPresenter


def manual_page(stack: PagedPresenter, chapters: Sequence[Chapter]) -> PageContent:
    """Every chapter in order, each with the line that says what it is about."""
    return PageContent(
        "Manual",
        tiles=[
            item(c.name, c.title, partial(DescribedPage, stack, partial(chapter_page, chapter=c)), detail=c.about)
            for c in chapters
        ],
    )


def chapter_page(_stack: PagedPresenter, chapter: Chapter) -> PageContent:
    """One chapter, a screen of text at a time."""
    return PageContent(chapter.title, [chapter.about], body=Body.TEXT, text=chapter.text)
