"""Batches and Shop in a real window: presses, pages, keys; nothing is cut at any size."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.places import resource
from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.paged.screen import NEW_PAGE_MS, PagedScreen
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.screens.shop.screen import ShopScreen
from shopclock.shop.state import settings
from shopclock.shop.state.keys import action_of
from shopclock.views.metrics import Sizes
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.labels import Label
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.style import Style
from shopclock.widgets.text_entry import TextEntry
from shopclock.widgets.theme import read_theme
from tests.screens.batches.gallery import BATCHES, SHOP, TABS
from tests.screens.batches.story import Gone, Shop, busy, routes
from tests.screens.pictures import SCREENS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from pytestqt.qtbot import QtBot

    from tests.stopwatch import Stopwatch


class Window:
    """A frame with both screens."""

    def __init__(self, qtbot: QtBot, shop: Shop, screen: str = "1280x800", *, gloves: bool = False) -> None:
        width, height = map(int, screen.split("x"))
        family = load_font(resource("fonts", name) for name in FONT_FILES)
        sizes = Sizes(width, height, SCREENS[screen], gloves=gloves)
        self.look = Style(read_theme(resource("theme.toml"), "dark"), sizes, family, bounce_ms=0)
        self.shop = shop
        self.gone = Gone()
        self.frame = Frame(self.look, TABS)
        self.frame.resize(width, height)
        batches = BatchesPresenter(shop.record, self.frame.dialogs, self.gone, lambda: None)
        shops = ShopPresenter(shop.record, self.frame.dialogs, routes(), self.gone)
        self.screens: dict[str, PagedScreen] = {
            "batches": PagedScreen(self.look, batches, shop.clock.moment),
            "shop": ShopScreen(self.look, shops, shop.clock.moment),
        }
        for key, made in self.screens.items():
            self.frame.set_page(key, made)
            shop.record.on_change(made.refresh)
        qtbot.addWidget(self.frame)
        self.frame.show()
        self.show("batches")

    def show(self, tab: str) -> PagedScreen:
        """Bring a screen in sight."""
        self.screens[tab].refresh()
        self.frame.show_page(tab)
        return self.screens[tab]

    def button(self, title: str) -> PressButton:
        """A button in sight; on a question, one of the question."""
        inside = self.frame.overlay.panel or self.frame
        found = [b for b in inside.findChildren(PressButton) if b.isVisible() and b.state.title == title]
        assert len(found) == 1, f"{len(found)} buttons say {title}"
        return found[0]

    def press(self, *titles: str) -> None:
        """Press buttons one after the other."""
        for title in titles:
            QTest.mouseClick(self.button(title), Qt.MouseButton.LeftButton)

    def type(self, text: str) -> None:
        """Type into the field of a question, and enter."""
        entry = self.frame.overlay.panel.findChild(TextEntry)
        QTest.keyClicks(entry.field, text)
        QTest.keyClick(entry.field, Qt.Key.Key_Return)


@pytest.fixture
def window(qtbot: QtBot, shop: Shop) -> Window:
    return Window(qtbot, shop)


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    made = Shop(tmp_path_factory.mktemp("full"))
    busy(made)
    yield made
    made.record.close()


def test_from_an_empty_shop_to_a_batch_by_hand(window: Window) -> None:
    window.show("shop")
    window.press("Patterns", "Copy a route", "Stock removal, carbon steel")
    window.type("Tide 90")
    assert window.screens["shop"].presenter.state().title == "Route of Tide 90"
    window.show("batches")
    window.press("New batch", "7", "Go: 7 blades")
    batch = window.shop.floor.open_batches()[0]
    assert len(window.shop.floor.pieces(batch.id)) == 7
    assert window.gone.to == [("bench", batch.id)]


def test_a_batch_starts_when_the_finger_comes_down(window: Window) -> None:
    window.shop.pattern("Tide 90")
    window.screens["batches"].refresh()
    window.press("New batch", "3")
    go, down = window.button("Go: 3 blades"), window.shop.clock.us
    QTest.mousePress(go, Qt.MouseButton.LeftButton)
    window.shop.clock.go(2)
    QTest.mouseRelease(go, Qt.MouseButton.LeftButton)
    assert window.shop.floor.open_batches()[0].started_us == down


def test_back_and_escape_leave_a_page_and_the_list_keeps_its_place(window: Window) -> None:
    shop = window.show("shop")
    window.press("Words")
    window.press("Back")
    window.press("Tools")
    QTest.keyClick(shop, Qt.Key.Key_Escape)
    assert shop.presenter.state().title == "What the shop has"


def test_a_page_that_comes_up_under_the_finger_takes_no_bounce(stopwatch: type[Stopwatch], window: Window) -> None:
    window.look.bounce_ms = 500
    shop = window.show("shop")
    stopwatch.on(NEW_PAGE_MS)
    window.press("Reasons")
    QTest.mouseClick(window.button("Back"), Qt.MouseButton.LeftButton)
    assert shop.presenter.state().title == "Reasons"
    stopwatch.on(500)
    window.press("Back")
    assert shop.presenter.state().title == "What the shop has"


@pytest.mark.parametrize(("key", "name"), [(Qt.Key.Key_F5, "F5"), (Qt.Key.Key_Space, "Space"), (Qt.Key.Key_Tab, "Tab")])
def test_any_key_can_be_given_by_pressing_it(window: Window, qtbot: QtBot, key: Qt.Key, name: str) -> None:
    window.show("shop")
    window.press("Keys and pedals", "Done")
    body = window.screens["shop"].body
    assert body is not None
    window.frame.activateWindow()
    qtbot.waitUntil(body.hasFocus)
    QTest.keyClick(body, key)
    assert action_of(window.shop.floor, name) == "done"


def test_the_ruler_is_kept_under_the_name_of_the_screen(window: Window) -> None:
    window.show("shop")
    window.press("Look and sizes", "Ruler", "Longer", "It is as long")
    name = window.frame.screen().name()
    assert settings.ruler(window.shop.floor, name) == pytest.approx((round(85.6 * 5.94) + 20) / 85.6, abs=1e-4)


def test_undo_is_in_sight_and_names_what_it_takes_back(window: Window) -> None:
    window.show("shop")
    window.press("Reasons", "Add a reason")
    window.type("burnt")
    undo = window.button("Undo")
    assert re.fullmatch(r"Added burnt, \d\d:\d\d", undo.state.detail)
    window.press("Undo")
    assert "burnt" not in [b.state.title for b in window.frame.findChildren(PressButton) if b.isVisible()]


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("gloves", [False, True])
def test_nothing_is_cut_or_overlaps_on_any_page(qtbot: QtBot, full: Shop, screen: str, gloves: bool) -> None:
    window = Window(qtbot, full, screen, gloves=gloves)
    for tab, states in (("batches", BATCHES), ("shop", SHOP)):
        shown = window.show(tab)
        for name, keys in states.items():
            walk(shown, keys)
            assert faults(shown, window.look) == [], f"{tab}, {name}"


def walk(screen: PagedScreen, keys: Sequence[str]) -> None:
    """Open a page from the first one."""
    screen.presenter.home()
    for key in keys:
        screen.presenter.press(key)
    screen.layout().activate()
    QTest.qWait(1)


def faults(screen: PagedScreen, look: Style) -> list[str]:
    """What is cut, too small, outside or over something else."""
    buttons = [b for b in screen.findChildren(PressButton) if b.isVisible()]
    labels = [label for label in screen.findChildren(Label) if label.isVisible()]
    found = [f"{b.state.title} is cut" for b in buttons if any(t.text.cut for t in b.texts())]
    found += [f"{label.text} is cut" for label in labels if label.fitted().cut]
    least = 0.6 * look.sizes.touch
    found += [f"{b.state.title} is small" for b in buttons if min(b.width(), b.height()) < least]
    places = [(w.rect().translated(w.mapTo(screen, w.rect().topLeft())), w) for w in (*buttons, *labels)]
    found += [f"{w} is outside" for place, w in places if not screen.rect().contains(place)]
    found += [
        f"{one} lies over {other}"
        for i, (place, one) in enumerate(places)
        for at, other in places[i + 1 :]
        if place.intersects(at)
    ]
    return found
