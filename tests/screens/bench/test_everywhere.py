"""What runs is in sight on every screen: Stop at the far left of the header, the far view, pedals."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest

from shopclock.screens.bench.everywhere import Everywhere
from shopclock.screens.bench.far_view import FarView
from shopclock.shop.state import keys
from shopclock.views.button import WAITS_FOR_TEXT
from shopclock.widgets.header import APART_MM, Tab
from shopclock.widgets.panels import TextPanel
from shopclock.widgets.press_button import PressButton
from tests.walks.walk import at_the_window, new_record, walk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.tour.window_hand import WindowHand

BATCH = """
open shop
press Patterns
press Copy a route
seek Stock removal, carbon steel
type Creek paring
press New batch
press 3
press Go
press Start: Saw out
work 1
"""


@pytest.fixture
def hand(tmp_path: Path, qapp: object) -> Iterator[WindowHand]:
    with at_the_window(new_record(tmp_path / "shop.shopclock")) as found:
        walk(found, BATCH)
        yield found


def header_stop(hand: WindowHand) -> PressButton:
    found = [b for b in hand.frame.header.findChildren(PressButton) if not isinstance(b, Tab)]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize("tab", ["today", "batches", "review", "trends", "plan", "shop"])
def test_away_from_the_bench_the_header_has_stage_batch_clock_and_stop_at_its_far_left(
    hand: WindowHand, tab: str
) -> None:
    assert hand.frame.header.running == ""
    walk(hand, f"open {tab}\nwait 0.5")
    assert hand.frame.header.running == "Saw out 26-01  0:01:30"
    stop = header_stop(hand)
    px_mm = hand.frame.header._look.sizes.px_mm
    assert stop.width() >= 20 * px_mm - 1
    tabs = [b for b in hand.frame.header.findChildren(Tab) if b.isVisible()]
    lefts = [tab.mapTo(hand.frame.header, QPoint()).x() for tab in tabs]
    assert min(lefts) - stop.geometry().right() >= APART_MM * px_mm
    assert all(stop.x() <= left for left in lefts)
    QTest.mouseClick(stop, Qt.MouseButton.LeftButton)
    hand.see()
    assert not hand.record.floor.running
    assert (stop.state.title, stop.isEnabled()) == ("Stopped", False)
    hand.wait("0.06")
    assert hand.frame.header.running == ""
    assert not stop.isVisible()


def test_on_the_page_of_the_whole_route_the_header_has_it_too(hand: WindowHand) -> None:
    walk(hand, "press Whole route\nwait 0")
    assert hand.frame.header.running.startswith("Saw out 26-01")
    walk(hand, "press Back\nwait 0")
    assert hand.frame.header.running == ""


def test_left_alone_on_another_screen_the_far_view_comes_and_a_touch_brings_that_screen_back(hand: WindowHand) -> None:
    walk(hand, "open batches\nwait 0.5")
    everywhere = hand.frame.findChild(Everywhere)
    assert not everywhere.far
    hand.wait("3")
    assert [view.clock.text for view in everywhere.far] == ["0:04:30"]
    hand.touch()
    assert not everywhere.far
    assert hand.frame.current == "batches"
    assert len(hand.record.floor.running) == 1


def test_a_press_on_any_button_of_a_screen_keeps_the_far_view_away(hand: WindowHand) -> None:
    walk(hand, "open batches\nwait 0.8\npress 26-01\nwait 1.8")
    assert not hand.frame.findChild(Everywhere).far


def test_a_pedal_works_on_every_screen(hand: WindowHand) -> None:
    hand.record.press("Key", lambda tx: keys.set_key(tx, "done", "F13"))
    hand.record.press("Key", lambda tx: keys.set_key(tx, "stop", "F14"))
    walk(hand, "open trends\nwait 1")
    hand.frame.activateWindow()
    QTest.keyClick(hand.frame, Qt.Key.Key_F13)
    assert hand.record.next_undo is not None
    assert hand.record.next_undo.what == "Done: A"
    QTest.keyClick(hand.frame, Qt.Key.Key_F14)
    assert not hand.record.floor.running
    QTest.keyClick(hand.frame, Qt.Key.Key_F14)
    assert not hand.record.floor.running


@pytest.mark.parametrize(("tab", "far"), [("trends", False), ("trends", True), ("bench", True)])
def test_a_pedal_whose_button_takes_no_press_says_why_in_the_header(hand: WindowHand, tab: str, far: bool) -> None:
    hand.record.press("Key", lambda tx: keys.set_key(tx, "out", "F13"))
    walk(hand, f"open {tab}" + "\nwait 2.2" * far)
    assert any(view.isVisible() for view in hand.frame.findChildren(FarView)) == far
    hand.frame.activateWindow()
    QTest.keyClick(hand.frame, Qt.Key.Key_F13)
    assert not any(view.isVisible() for view in hand.frame.findChildren(FarView))
    assert hand.frame.header.isVisible()
    assert hand.frame.header.note == "Take out: nothing to press now."


def test_a_question_that_covers_the_header_says_itself_why_a_press_was_not_taken(hand: WindowHand) -> None:
    walk(hand, "press Adjust\npress Note\npress Type it")
    panel = hand.frame.overlay.panel
    assert isinstance(panel, TextPanel)
    QTest.mouseClick(panel.entry._ok, Qt.MouseButton.LeftButton)
    assert panel.note.text == hand.frame.header.note == WAITS_FOR_TEXT
