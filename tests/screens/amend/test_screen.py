"""Amend in a real window: real presses, and nothing is cut at any size."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.places import resource
from shopclock.screens.batches.presenter import BatchesPresenter
from shopclock.screens.paged.screen import PagedScreen
from shopclock.views.metrics import Sizes
from shopclock.widgets.day_line import GAP, DayLine
from shopclock.widgets.fonts import FONT_FILES, load_font
from shopclock.widgets.frame import Frame
from shopclock.widgets.press_button import PressButton
from shopclock.widgets.style import Style
from shopclock.widgets.theme import read_theme
from tests.screens.amend.evening import Evening
from tests.screens.amend.gallery import STATES
from tests.screens.batches.gallery import TABS
from tests.screens.batches.story import Gone
from tests.screens.pictures import SCREENS
from tests.screens.shop.test_screens import faults

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot


class Window:
    """A frame with Batches, open on the evening."""

    def __init__(self, qtbot: QtBot, shop: Evening, screen: str = "1280x800", *, gloves: bool = False) -> None:
        width, height = map(int, screen.split("x"))
        family = load_font(resource("fonts", name) for name in FONT_FILES)
        sizes = Sizes(width, height, SCREENS[screen], gloves=gloves)
        self.look = Style(read_theme(resource("theme.toml"), "dark"), sizes, family, bounce_ms=0)
        self.frame = Frame(self.look, TABS)
        self.frame.resize(width, height)
        self.presenter = BatchesPresenter(shop.record, self.frame.dialogs, Gone(), lambda: None)
        self.screen = PagedScreen(self.look, self.presenter, shop.clock.moment)
        self.frame.set_page("batches", self.screen)
        shop.record.on_change(self.screen.refresh)
        qtbot.addWidget(self.frame)
        self.frame.show()
        self.frame.show_page("batches")
        self.screen.refresh()
        self.presenter.press(f"batch {shop.first.id}")

    def press(self, *titles: str) -> None:
        """Press buttons in sight by their titles; on a question, one of the question."""
        for title in titles:
            inside = self.frame.overlay.panel or self.frame
            found = [b for b in inside.findChildren(PressButton) if b.isVisible() and b.state.title == title]
            assert len(found) == 1, f"{len(found)} buttons say {title}"
            QTest.mouseClick(found[0], Qt.MouseButton.LeftButton)

    def line(self) -> DayLine | None:
        """The day's line, where it is in sight."""
        return next((line for line in self.screen.findChildren(DayLine) if line.isVisible()), None)


@pytest.fixture
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Evening]:
    made = Evening(tmp_path_factory.mktemp("evening"))
    yield made
    made.record.close()


@pytest.fixture(scope="module")
def still(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Evening]:
    """An evening that nobody changes."""
    made = Evening(tmp_path_factory.mktemp("still"))
    yield made
    made.record.close()


def test_a_start_is_typed_on_the_pad_and_taken_back(qtbot: QtBot, shop: Evening) -> None:
    window = Window(qtbot, shop)
    window.press("Amend times", "19:59 – 20:46   Saw out, 26-01", "Start", "1", "9", "3", "0", "OK")
    assert window.presenter.state().title == "19:30 – 20:46   Saw out, 26-01"
    window.press("Undo")
    assert window.presenter.state().title == "19:59 – 20:46   Saw out, 26-01"


def test_a_boundary_moves_on_both_sides_by_two_presses(qtbot: QtBot, shop: Evening) -> None:
    window = Window(qtbot, shop)
    window.presenter.press("amend")
    window.presenter.press("stretch 3")
    window.presenter.press("start less")
    window.press("Yes, both")
    assert window.presenter.state().title == "20:41 – 21:11   Profile, 26-01"
    window.press("Back")
    assert window.presenter.state().tiles[0].title == "19:59 – 20:41   Saw out, 26-01"


@pytest.mark.parametrize("screen", SCREENS)
def test_the_bars_of_a_day_stand_one_after_the_other_within_the_line(qtbot: QtBot, still: Evening, screen: str) -> None:
    window = Window(qtbot, still, screen)
    window.presenter.press("amend")
    line = window.line()
    assert line is not None
    hands = [line.bar_rect(bar) for bar in line.state.bars if bar.lane == 0 and bar.role != GAP]
    assert len(hands) == 3
    assert all(line.rect().contains(rect.toRect()) for rect in hands)
    assert all(one.right() <= other.left() + 0.5 for one, other in pairwise(hands))


@pytest.mark.parametrize("screen", SCREENS)
@pytest.mark.parametrize("gloves", [False, True])
def test_nothing_is_cut_or_overlaps_on_any_page(qtbot: QtBot, still: Evening, screen: str, gloves: bool) -> None:
    window = Window(qtbot, still, screen, gloves=gloves)
    for name, keys in STATES.items():
        window.presenter.home()
        for key in (f"batch {still.first.id}", *keys):
            window.presenter.press(key)
        window.screen.layout().activate()
        QTest.qWait(1)
        assert faults(window.screen, window.look) == [], name
