"""An answer comes to a page with a finger on it: the room of its lines was kept, and the press is the one begun."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtTest import QTest

from shopclock.places import resource
from shopclock.screens.paged.paged_presenter import PagedPresenter
from shopclock.screens.paged.screen import PagedScreen
from shopclock.views.metrics import Sizes
from shopclock.views.page import Body, Page, PageContent, item
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme
from tests.fake_dialogs import FakeDialogs
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot


class Answered(Page):
    """A page that says two lines and offers one action more once its answer is there."""

    def __init__(self, room: int) -> None:
        self.there = False
        self.pressed: list[str] = []
        self._room = room

    def content(self) -> PageContent:
        more = [item("new", "New", lambda: self.pressed.append("new"))] if self.there else []
        return PageContent(
            "Done by Friday" if self.there else "Working it out …",
            ["It holds.", "Nobody gets later by it."] if self.there else (),
            [item("tile", "Tile", lambda: self.pressed.append("tile"))],
            [*more, item("old", "Old", lambda: self.pressed.append("old"))],
            Body.SMALL,
            room=self._room,
        )


@pytest.fixture
def stack(tmp_path: Path) -> Iterator[PagedPresenter]:
    shop = DiskShop(tmp_path)
    yield PagedPresenter(shop.record, FakeDialogs(), lambda *_: None)
    shop.close()


def opened(qtbot: QtBot, stack: PagedPresenter, page: Answered) -> PagedScreen:
    look = Style(read_theme(resource("theme.toml"), "dark"), Sizes(1280, 800, 5.94), "Inter", bounce_ms=0)
    stack.open(page)
    screen = PagedScreen(look, stack, stack.record.clock.moment)
    qtbot.addWidget(screen)
    screen.resize(1280, 700)
    screen.refresh()
    screen.show()
    return screen


def place_of_body(screen: PagedScreen) -> QRect:
    body, column = screen.body, screen.layout()
    assert body is not None
    assert column is not None
    column.activate()
    return QRect(body.mapTo(screen, QPoint()), body.size())


@pytest.mark.parametrize(("room", "stays"), [(0, False), (1, False), (2, True), (3, True)])
def test_the_room_of_as_many_lines_is_kept(qtbot: QtBot, stack: PagedPresenter, room: int, *, stays: bool) -> None:
    page = Answered(room)
    screen = opened(qtbot, stack, page)
    before = place_of_body(screen)
    page.there = True
    stack.changed()
    assert (place_of_body(screen) == before) is stays


def test_a_press_is_what_its_button_was_when_the_finger_came_down(qtbot: QtBot, stack: PagedPresenter) -> None:
    """The answer has put another action before it meanwhile."""
    page = Answered(2)
    screen = opened(qtbot, stack, page)
    (button,) = (one for one in screen.bottom.buttons if one.state.title == "Old")
    QTest.mousePress(button, Qt.MouseButton.LeftButton)
    page.there = True
    stack.changed()
    QTest.mouseRelease(button, Qt.MouseButton.LeftButton)
    assert button.state.title == "New"
    assert page.pressed == ["old"]
