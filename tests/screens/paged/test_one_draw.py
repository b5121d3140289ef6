"""A press on a page: its content is worked out once, when all is done that the press changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.places import resource
from shopclock.screens.paged.paged_presenter import PagedPresenter
from shopclock.screens.paged.screen import UNDO, PagedScreen
from shopclock.shop.state import settings
from shopclock.views.metrics import Sizes
from shopclock.views.page import Page, PageContent, item
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme
from tests.fake_dialogs import FakeDialogs
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot


class Counted(Page):
    """A page of one button that changes the record twice, and how often its content was worked out."""

    def __init__(self, stack: PagedPresenter) -> None:
        self._stack = stack
        self.worked_out = 0
        self.pressed = 0

    def content(self) -> PageContent:
        self.worked_out += 1
        return PageContent(f"pressed {self.pressed} times", tiles=[item("on", "On", self._press)])

    def _press(self) -> None:
        for theme in ("dark", "paper"):
            self._stack.do(theme, lambda tx, theme=theme: settings.set_value(tx, settings.THEME, theme))
        self.pressed += 1


@pytest.fixture
def look() -> Style:
    return Style(read_theme(resource("theme.toml"), "dark"), Sizes(1280, 800, 5.94), "Inter", bounce_ms=0)


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Counted]:
    shop = DiskShop(tmp_path)
    stack = PagedPresenter(shop.record, FakeDialogs(), lambda *_: None)
    made = Counted(stack)
    stack.open(made)
    yield made
    shop.close()


def test_a_press_works_the_page_out_once(qtbot: QtBot, look: Style, page: Counted) -> None:
    stack = page._stack
    screen = PagedScreen(look, stack, stack.record.clock.moment)
    qtbot.addWidget(screen)
    stack.record.on_change(screen.refresh)  # as the shell does
    screen.refresh()
    screen.show()
    page.worked_out = 0
    screen._pressed("on", None)
    assert (page.worked_out, page.pressed, stack.state().title) == (1, 1, "pressed 1 times")
    page.worked_out = 0
    screen._pressed(UNDO, None)
    assert page.worked_out == 1


def test_what_changes_while_another_screen_is_in_sight_is_drawn_when_this_one_comes(
    qtbot: QtBot, look: Style, page: Counted
) -> None:
    stack = page._stack
    screen = PagedScreen(look, stack, stack.record.clock.moment)
    qtbot.addWidget(screen)
    screen.refresh()
    screen.show()
    screen.hide()
    page.worked_out = 0
    page.pressed = 7
    stack.changed()
    assert page.worked_out == 0
    screen.refresh()  # as the shell does before it shows it
    assert screen._title.text == "pressed 7 times"


def test_a_press_is_looked_up_in_what_there_is_now(page: Counted) -> None:
    stack = page._stack
    stack.state()
    stack.do("beside it", lambda tx: settings.set_value(tx, settings.SIZE, "gloves"))
    page.worked_out = 0
    stack.press("on")
    assert (page.worked_out, page.pressed) == (1, 1)
