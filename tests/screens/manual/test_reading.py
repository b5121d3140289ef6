"""A chapter is read to its end by presses, and stays where it was while the record changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.places import resource
from shopclock.screens.manual.chapters import Chapter, chapters
from shopclock.screens.paged.text_body import TextBody, lines_of
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.screens.shop.screen import ShopScreen
from shopclock.views.metrics import Sizes
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme
from tests.fake_dialogs import FakeDialogs
from tests.screens.amend.evening import Evening
from tests.screens.batches.story import Gone
from tests.walks.walk import at_the_window, new_record

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot


@pytest.fixture
def look() -> Style:
    family = load_font(resource("fonts", name) for name in FONT_FILES)
    return Style(read_theme(resource("theme.toml"), "dark"), Sizes(1280, 800, 5.94), family, bounce_ms=0)


@pytest.fixture
def screen(tmp_path: Path, look: Style, qtbot: QtBot) -> Iterator[ShopScreen]:
    shop = Evening(tmp_path)
    shown = ShopScreen(look, ShopPresenter(shop.record, FakeDialogs(), (), Gone()), shop.clock.moment)
    qtbot.addWidget(shown)
    shown.resize(1280, 740)
    shown.show()
    shown.refresh()
    yield shown
    shop.record.close()


def reading(screen: ShopScreen, name: str) -> TextBody:
    screen.presenter.press("manual")
    screen.presenter.press(name)
    screen.refresh()
    body = screen.body
    assert isinstance(body, TextBody)
    return body


def last_line_in_sight(body: TextBody) -> str:
    view = body.view.viewport().rect()
    return body.view.cursorForPosition(view.bottomLeft()).block().text()


def test_the_chapter_of_a_screen_begins_at_its_beginning_though_no_chapter_was_read_before(tmp_path: Path) -> None:
    """Opened from Trends: its text is written before the page that shows it has its size."""
    with at_the_window(new_record(tmp_path / "shop.shopclock")) as hand:
        hand.open("trends")
        hand.press("?")
        hand.see()
        (body,) = hand.frame.findChildren(TextBody)
        bar = body.view.verticalScrollBar()
        assert bar.value() == 0 < bar.maximum()
        assert (body.before.isEnabled(), body.more.isEnabled()) == (False, True)


def test_f1_pressed_again_leaves_what_is_read_as_it_is(tmp_path: Path) -> None:
    """A key that bounces doesn't turn from the chapter of Trends, where it was read on, to that of Shop."""
    with at_the_window(new_record(tmp_path / "shop.shopclock")) as hand:
        hand.open("trends")
        for _ in range(2):
            QTest.keyClick(hand.frame, Qt.Key.Key_F1)
            hand.see()
            (body,) = hand.frame.findChildren(TextBody)
            assert body.view.toPlainText().startswith("All stages")
            body.more.pressed_at.emit(None)
            assert body.before.isEnabled()
        hand.open("review")
        QTest.keyClick(hand.frame, Qt.Key.Key_F1)
        hand.see()
        texts = [body.view.toPlainText() for body in hand.frame.findChildren(TextBody) if body.isVisible()]
        assert [text.startswith("All stages") for text in texts] == [False]


def test_more_leads_to_the_last_line_and_before_back_to_the_first(screen: ShopScreen) -> None:
    body = reading(screen, "columns")
    presses = 0
    while body.more.isEnabled():
        body.more.pressed_at.emit(None)
        presses += 1
    assert presses > 1
    assert last_line_in_sight(body) == body.view.document().lastBlock().text()
    while body.before.isEnabled():
        body.before.pressed_at.emit(None)
    assert body.view.verticalScrollBar().value() == 0


def test_the_place_is_kept_while_the_page_is_drawn_again(screen: ShopScreen) -> None:
    body = reading(screen, "columns")
    body.more.pressed_at.emit(None)
    place = body.view.verticalScrollBar().value()
    screen.refresh()
    assert screen.body is body
    assert body.view.verticalScrollBar().value() == place > 0


@pytest.mark.parametrize("chapter", chapters(resource("manual")), ids=lambda chapter: chapter.name)
def test_nothing_of_the_markup_is_left_in_what_is_read(chapter: Chapter, look: Style, qtbot: QtBot) -> None:
    body = TextBody(look, lambda: None)
    qtbot.addWidget(body)
    body.view.document().setMarkdown(chapter.text)
    text = body.view.toPlainText()
    assert text
    assert not any(sign in text for sign in ("**", "`", "\n#", "](", "|--"))


@pytest.mark.parametrize("chapter", ["figures", "columns", "bench"])
def test_no_line_is_cut_at_the_top_whichever_way_it_was_turned_to(screen: ShopScreen, chapter: str) -> None:
    body = reading(screen, chapter)
    for button in (body.more, body.before):
        while button.isEnabled():
            button.pressed_at.emit(None)
            top = body.view.verticalScrollBar().value()
            assert [line for line in lines_of(body.view.document()) if line[0] + 1 < top < line[1] - 1] == []


def test_no_line_is_cut_at_the_bottom_and_none_is_left_out_between_two_turns(screen: ShopScreen) -> None:
    body = reading(screen, "figures")
    bar, ends = body.view.verticalScrollBar(), [0.0]
    while True:
        top, bottom = bar.value(), bar.value() + body.view.viewport().height()
        assert [line for line in lines_of(body.view.document()) if line[0] < bottom < line[1]] == []
        assert top <= ends[-1]
        ends.append(bottom)
        if not body.more.isEnabled():
            break
        body.more.pressed_at.emit(None)
    assert len(ends) > 3
