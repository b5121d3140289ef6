"""The chapters of the manual: files of Markdown in `resources/manual/`, in the order in which one needs them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

CHAPTERS = (
    "first-evening",
    "bench",
    "today",
    "batches",
    "clock",
    "review",
    "trends",
    "plan",
    "shop",
    "record",
    "benches",
    "out",
    "figures",
    "columns",
    "scripts",
    "json",
    "database",
    "settings",
)
"""The files, without `.md`."""


OF_SCREEN = {
    "welcome": "first-evening",
    "today": "today",
    "bench": "bench",
    "batches": "batches",
    "review": "review",
    "trends": "trends",
    "plan": "plan",
    "shop": "shop",
}
"""The chapter of each screen, by the key of its tab."""
PICTURE = "!["
"""A line that begins so is a picture: the book has it, the window, which is what it shows, leaves it out."""


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter: its title, one line that says what it is about, and the Markdown under both."""

    name: str
    title: str
    about: str
    text: str


def chapters(folder: Path) -> tuple[Chapter, ...]:
    """Read the manual; a chapter that is missing from the folder is left out."""
    files = [folder / f"{name}.md" for name in CHAPTERS]
    return tuple(_chapter(path) for path in files if path.exists())


def _chapter(path: Path) -> Chapter:
    """A file begins with its title and, as a paragraph of its own, the line that says what it is about."""
    title, about, text = path.read_text(encoding="utf-8").split("\n\n", 2)
    shown = "\n\n".join(part for part in text.strip().split("\n\n") if not part.startswith(PICTURE))
    return Chapter(path.stem, title.removeprefix("# "), about.strip(), shown)


@dataclass(frozen=True, slots=True)
class Found:
    """A paragraph in which all words that are looked for stand: its chapter, its section, the paragraph."""

    chapter: Chapter
    section: str
    paragraph: str


def find(book: Sequence[Chapter], words: str) -> tuple[Found, ...]:
    """Return the paragraphs and items in which all of these words begin, whatever their capitals."""
    wanted = words.casefold().split()
    found = []
    for chapter in book:
        section = ""
        for part in _parts(chapter.text):
            if part.startswith("#"):
                section = part.lstrip("# ")
            told = f" {_plain(part)}".casefold()
            if wanted and all(_begins(word, told) for word in wanted):
                found.append(Found(chapter, section, _plain(part).lstrip("# ")))
    return tuple(found)


def _parts(text: str) -> Iterator[str]:
    """Yield headings, paragraphs and items of lists, each as one line."""
    for block in text.split("\n\n"):
        items = re.split(r"\n(?=- |\d+\. |\|)", block)
        yield from (" ".join(item.removeprefix("- ").split()) for item in items)


def _plain(part: str) -> str:
    return re.sub(r"[*`|]+", "", part)


def _begins(word: str, told: str) -> bool:
    return re.search(rf"(?<![^\W_]){re.escape(word)}", told) is not None
