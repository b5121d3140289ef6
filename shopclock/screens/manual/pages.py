"""The pages of the manual: its chapters, one of them to read, and where in it a word stands."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.manual.chapters import find
from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.paged.paged_presenter import PagedPresenter
from shopclock.views.field import Text
from shopclock.views.page import Body, PageContent, item

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.manual.chapters import Chapter, Found
    from shopclock.views.field import Asking
    from shopclock.views.page import Page

LONGEST = 90
"""Letters of a paragraph on the tile of what was found."""
MOST_FOUND = 40


class ManualPage(DescribedPage[PagedPresenter]):
    """A page of the manual: all chapters, one of them, or what was found."""


def manual_page(stack: PagedPresenter, chapters: Sequence[Chapter]) -> PageContent:
    """Every chapter in order, each with the line that says what it is about; words are looked for in all."""
    return PageContent(
        "Manual",
        tiles=[item(c.name, c.title, partial(_read, stack, c), detail=c.about) for c in chapters],
        actions=[item("find", "Find", partial(_find, stack, chapters), detail="a word in the manual")],
    )


def chapter_page(_stack: PagedPresenter, chapter: Chapter) -> PageContent:
    """One chapter, a screen of text at a time."""
    return PageContent(chapter.title, [chapter.about], body=Body.TEXT, text=chapter.text)


def found_page(stack: PagedPresenter, words: str, found: Sequence[Found]) -> PageContent:
    """Chapters in which the words stand: a press reads one."""
    if not found:
        return PageContent(f"Find: {words}", ["No paragraph has all of it. One word, or its beginning, finds more."])
    more = [f"The first {MOST_FOUND} of {len(found)}."] if len(found) > MOST_FOUND else []
    return PageContent(
        f"Find: {words}",
        more,
        tiles=[
            item(str(number), one.chapter.title, partial(_read, stack, one.chapter), detail=_shortly(one))
            for number, one in enumerate(found[:MOST_FOUND])
        ],
    )


def _shortly(found: Found) -> str:
    text = found.paragraph if len(found.paragraph) <= LONGEST else f"{found.paragraph[:LONGEST].rsplit(' ', 1)[0]} …"
    return f"{found.section}: {text}" if found.section and found.section != text else text


def _read(stack: PagedPresenter, chapter: Chapter) -> Page:
    return ManualPage(stack, partial(chapter_page, chapter=chapter))


def _find(stack: PagedPresenter, chapters: Sequence[Chapter]) -> Asking[object]:
    words = yield from Text("Which word")
    return ManualPage(stack, partial(found_page, words=words, found=find(chapters, words)))
