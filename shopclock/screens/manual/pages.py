"""The pages of the manual: its chapters, and one of them to read."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.views.page import Body, Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.manual.chapters import Chapter
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action


class ManualPage(Page):
    """Every chapter, each with the line that says what it is about."""

    def __init__(self, stack: PagedPresenter, chapters: Sequence[Chapter]) -> None:
        self._stack = stack
        self._chapters = chapters

    def title(self) -> str:
        """What it is."""
        return "Manual"

    def offers(self) -> Sequence[Action]:
        """The chapters in order."""
        return [
            action(chapter.name, chapter.title, calling(partial(self._read, chapter)), detail=chapter.about)
            for chapter in self._chapters
        ]

    def _read(self, chapter: Chapter) -> None:
        self._stack.open(ChapterPage(chapter))


class ChapterPage(Page):
    """One chapter, a screen of text at a time."""

    body = Body.TEXT

    def __init__(self, chapter: Chapter) -> None:
        self._chapter = chapter

    def title(self) -> str:
        """The chapter's."""
        return self._chapter.title

    def lines(self) -> Sequence[TextLine]:
        """What it is about."""
        return (TextLine(self._chapter.about),)

    def text(self) -> str:
        """Its Markdown."""
        return self._chapter.text
