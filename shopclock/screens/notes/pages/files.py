"""Files to choose from: those that lie where files usually lie, the newest first, or one that is typed."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.screens.notes.pages.notes import NotesPage
from shopclock.shop.setup.copy_schedule import age_text
from shopclock.shop.values.errors import Refusal
from shopclock.views.field import Text, field
from shopclock.views.page import Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from shopclock.screens.notes.bringing import Bringing
    from shopclock.screens.paged.paged_presenter import PagedPresenter

ENDINGS = (".csv", ".xlsx", ".ods", ".tsv", ".txt")
MOST = 60


def tables_in(folders: Sequence[Path]) -> list[tuple[Path, float]]:
    """Return the tables in these folders with the second each was written, the newest first."""
    found = {path: path.stat().st_mtime for folder in folders for path in _files(folder)}
    return sorted(found.items(), key=lambda item: -item[1])[:MOST]


def _files(folder: Path) -> Iterator[Path]:
    try:
        for path in folder.iterdir():
            if path.suffix.casefold() in ENDINGS and not path.name.startswith(".") and path.is_file():
                yield path
    except OSError:  # a stick that was just pulled out, a folder that may not be read
        return


class FilesPage(Page):
    """Choosing a file of old notes."""

    def __init__(self, stack: PagedPresenter, bringing: Bringing, folders: Callable[[], Sequence[Path]]) -> None:
        self._stack = stack
        self._bringing = bringing
        self._files = tables_in(folders())

    def content(self) -> PageContent:
        """The files; one that lies elsewhere."""
        lines = ["A spreadsheet (.xlsx, .ods) or a text with columns (.csv): a row for each stretch of work."]
        none = [] if self._files else [TextLine("None lies where files usually lie.", "text")]
        now_us = self._stack.record.instant()
        return PageContent(
            "Which file are the old notes in?",
            [*lines, *none],
            [
                item(
                    str(path),
                    path.name,
                    partial(NotesPage, self._stack, self._bringing, path),
                    f"{path.parent.name}, {age_text(round(written_s * 1_000_000), now_us)}",
                )
                for path, written_s in self._files
            ],
            [field("typed", "Another file", "", Text("Where is the file?"), self._typed, role="raised")],
        )

    def _typed(self, text: str) -> Page:
        file = self._stack.record.path.parent / Path(text.strip()).expanduser()
        if not file.is_file():
            raise Refusal(f"There is no file {text.strip()}. Type all of its name, with its folder.")
        return NotesPage(self._stack, self._bringing, file)
