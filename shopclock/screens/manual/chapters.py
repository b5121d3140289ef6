"""The chapters of the manual: files of Markdown in `resources/manual/`, in the order in which one needs them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
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
    return Chapter(path.stem, title.removeprefix("# "), about.strip(), text.strip())
