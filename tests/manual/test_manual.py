"""The manual names what there is: every room, key action, command, setting, column and page of Shop."""

from __future__ import annotations

import re

import pytest

from shopclock.app import TABS
from shopclock.commands.main import commands
from shopclock.places import resource
from shopclock.screens.manual.chapters import CHAPTERS, Chapter, chapters
from shopclock.shop.state.keys import ACTIONS
from tests.manual.write import WRITTEN

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
