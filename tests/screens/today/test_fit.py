"""Today drawn at all four sizes, in both themes and both size settings: nothing is cut off or overlaps."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.screens.today.presenter import TodayPresenter
from shopclock.screens.today.screen import TodayScreen
from shopclock.screens.today.state import TodayVerb, Turn
from shopclock.views.metrics import TOUCH_MM
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import KeyButton, PressButton
from tests.looks import SCREENS
from tests.screens.bench.test_fit import cut_texts, leaves, place
from tests.screens.today.stories import STATES

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtWidgets import QWidget
    from pytestqt.qtbot import QtBot

    from shopclock.widgets.style import Style
    from tests.screens.bench.workshop import Workshop


def shown(shop: Workshop, look: Style, qtbot: QtBot) -> TodayScreen:
    record = shop.record
    rows = lambda: record.reads.stage_rows(record.instant())  # noqa: E731  # a reader as the rooms give it
    presenter = TodayPresenter(record, shop.dialogs, rows, shop.bench.begin, lambda *_: None)
    screen = TodayScreen(look, presenter, shop.clock.moment)
    qtbot.addWidget(screen)
    screen.resize(look.sizes.width, look.sizes.height - look.sizes.header)
    screen.show()
    screen.refresh()
    return screen


@pytest.mark.parametrize("name", STATES)
def test_nothing_is_cut_off_or_overlaps_at_any_size(
    shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot, name: str
) -> None:
    STATES[name](shop)
    for size in SCREENS:
        for gloves in (False, True):
            for theme in ("dark", "paper"):
                look = make_look(*size, theme, gloves=gloves)
                screen = shown(shop, look, qtbot)
                for _ in range(12):
                    check(screen, look, f"{name} {size} gloves={gloves} {theme}")
                    if not turned(screen):
                        break
                screen.hide()


def turned(screen: TodayScreen) -> bool:
    """Turn each page that can be turned; tells whether one could."""
    turners = [t for t in screen.findChildren(KeyButton) if t.isVisible() and t.state.verb in set(Turn)]
    for turner in turners:
        QTest.mouseClick(turner, Qt.MouseButton.LeftButton)
    return bool(turners)


def check(screen: TodayScreen, look: Style, where: str) -> None:
    found = leaves(screen)
    assert found
    assert cut_texts(found) == [], where
    rects = [(w, place(w, screen)) for w in found]
    for (one, a), (other, b) in combinations(rects, 2):
        assert not a.intersects(b), (where, one, a, other, b)
    assert all(screen.rect().contains(rect) for _, rect in rects), where
    for widget, rect in rects:
        if isinstance(widget, PressButton):
            least = least_px(widget, look)
            assert min(rect.width(), rect.height()) >= least - 1, (where, widget.state.title, rect, least)


def least_px(widget: QWidget, look: Style) -> float:
    """A tile is a touch target; a time, which is chosen before the gloves are on, 12 mm and more."""
    is_time = isinstance(widget, KeyButton) and widget.state.verb in (TodayVerb.HAVE, TodayVerb.LESS, TodayVerb.MORE)
    if is_time:
        return min(look.sizes.tab, look.sizes.touch)
    return max(look.sizes.touch, min(TOUCH_MM * look.sizes.px_mm, look.sizes.height * 0.24))


def test_every_tile_comes_into_sight_by_turning_pages(
    shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot
) -> None:
    STATES["crowd"](shop)
    screen = shown(shop, make_look(1024, 600, gloves=True), qtbot)
    state = screen.presenter.state(screen.presenter.instant())
    wanted = {tile.key for section in state.ready for tile in section.tiles}
    seen: set[str] = set()
    for _ in range(20):
        seen |= {tile.state.key for tile in screen.findChildren(KeyButton) if tile.isVisible()}
        turned(screen)
    assert wanted <= seen
    assert len(wanted) > 3


def test_a_press_on_a_tile_starts_its_step(shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot) -> None:
    STATES["fresh"](shop)
    screen = shown(shop, make_look(), qtbot)
    tile = next(t for t in screen.findChildren(KeyButton) if t.isVisible() and t.state.title == "Saw out")
    QTest.mouseClick(tile, Qt.MouseButton.LeftButton)
    assert shop.running_names() == ["Saw out"]


def test_minutes_run_out_in_sight(shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot) -> None:
    STATES["cold"](shop)
    screen = shown(shop, make_look(), qtbot)
    assert "1 min left" in words(screen)
    shop.clock.go(3)
    screen.tick()
    assert "2 min over" in words(screen)


def words(screen: TodayScreen) -> str:
    return " ".join(label.text for label in screen.findChildren(Label) if label.isVisible())


@pytest.mark.parametrize("size", SCREENS)
def test_undo_says_what_it_takes_back_in_two_lines_at_most(
    shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot, size: tuple[int, int]
) -> None:
    """With nothing cooking it was a touch target wide and said it in three, with the room of half a screen beside."""
    STATES["fresh"](shop)
    undo = shown(shop, make_look(*size), qtbot).undo
    title, detail = undo.texts()
    assert len(detail.text.lines) <= 2
    assert title.text.px > detail.text.px


def test_undo_is_in_sight_and_takes_back_the_newest_press(
    shop: Workshop, make_look: Callable[..., Style], qtbot: QtBot
) -> None:
    STATES["fresh"](shop)
    screen = shown(shop, make_look(), qtbot)
    before = shop.record.next_undo
    shop.start("Saw out")
    screen.refresh()
    assert screen.undo.isVisible()
    assert (screen.undo.state.title, screen.undo.state.detail) == ("Undo", "Start Saw out, 26-01, 16:54")
    QTest.mouseClick(screen.undo, Qt.MouseButton.LeftButton)
    assert shop.running_names() == []
    assert shop.record.next_undo == before
