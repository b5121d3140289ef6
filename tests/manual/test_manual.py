"""The manual names what there is: every room, key action, command, setting, column and page of Shop."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from shopclock.app import TABS
from shopclock.commands.main import commands
from shopclock.places import resource
from shopclock.screens.manual.chapters import CHAPTERS, OF_SCREEN, Chapter, chapters, find
from shopclock.shop.state.keys import ACTIONS
from tests.manual.book import PICTURES, html, write_pdf
from tests.manual.write import WRITTEN

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtWidgets import QApplication

FOLDER = resource("manual")
WHOLE = "\n".join(f"{chapter.title}\n{chapter.about}\n{chapter.text}" for chapter in chapters(FOLDER))


def test_each_file_is_a_chapter_and_each_chapter_is_there() -> None:
    assert {path.stem for path in FOLDER.glob("*.md")} == set(CHAPTERS)
    assert [chapter.name for chapter in chapters(FOLDER)] == list(CHAPTERS)


@pytest.mark.parametrize("name", WRITTEN)
def test_what_is_made_of_the_programs_tables_is_up_to_date(name: str) -> None:
    assert (FOLDER / f"{name}.md").read_text(encoding="utf-8") == WRITTEN[name]()


@pytest.mark.parametrize("name", sorted(commands.commands))
def test_every_command_is_named(name: str) -> None:
    assert re.search(rf"`shopclock {name}\b", WHOLE)


@pytest.mark.parametrize("said", ACTIONS.values())
def test_every_action_that_a_key_can_have_is_named(said: str) -> None:
    assert f"*{said}*" in WHOLE


@pytest.mark.parametrize("title", [said for _, said in TABS])
def test_every_screen_has_a_chapter(title: str) -> None:
    assert any(title.casefold() in chapter.title.casefold() for chapter in chapters(FOLDER))


@pytest.mark.parametrize("chapter", chapters(FOLDER), ids=lambda chapter: chapter.name)
def test_a_chapter_says_in_one_line_what_it_is_about(chapter: Chapter) -> None:
    assert 0 < len(chapter.about) < 100
    assert "\n" not in chapter.about


@pytest.mark.parametrize("key", [key for key, _ in TABS])
def test_every_screen_has_its_chapter(key: str) -> None:
    assert OF_SCREEN[key] in CHAPTERS


@pytest.mark.parametrize(
    ("words", "chapter", "begins"),
    [
        ("chatters", "bench", "On every other screen"),
        ("CARRY on", "bench", "Stop ends what runs by hand"),
        ("not-a-word", "", ""),
        ("", "", ""),
        ("  ", "", ""),
        ("hatters", "", ""),
        ("identity spoilage", "figures", "The identity is that of spoilage"),
    ],
)
def test_words_are_found_where_all_of_them_begin(words: str, chapter: str, begins: str) -> None:
    found = find(chapters(FOLDER), words)
    if not chapter:
        assert found == ()
    assert any(one.chapter.name == chapter and one.paragraph.startswith(begins) for one in found) is bool(chapter)


def test_the_window_has_no_pictures_of_itself() -> None:
    assert not [line for line in WHOLE.splitlines() if line.startswith("![")]


def test_nothing_in_the_manual_is_for_developers() -> None:
    own = [c for c in chapters(FOLDER) if c.name != "scripts"]
    assert [c.name for c in own if re.search(r"\b(shop|analysis|record|exchange)\.[a-z_]+\.[a-z_]", c.text)] == []


def test_the_book_has_every_chapter_and_every_picture_is_there(tmp_path: Path) -> None:
    page = html("pictures")
    for name in CHAPTERS:
        assert f'<section id="{name}">' in page
    named = re.findall(r'src="pictures/([^"]+)"', page)
    assert len(named) >= 6
    assert [name for name in named if not (PICTURES / name).is_file()] == []
    assert "![" not in page


def test_the_book_is_one_pdf_in_which_every_chapter_can_be_read(qapp: QApplication, tmp_path: Path) -> None:
    write_pdf(tmp_path / "manual.pdf")
    data = (tmp_path / "manual.pdf").read_bytes()
    assert data.startswith(b"%PDF")
    assert len(re.findall(rb"/Type\s*/Page\b", data)) > 20
    assert len(re.findall(rb"/Subtype\s*/Image\b", data)) >= 5
