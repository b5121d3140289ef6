"""Full screen, leaving it and closing by finger and by key, and a screen that dims where nobody needs it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.screens.shell.dimming import DimmedScreen
from shopclock.shop.state import keys, settings
from tests.walks.walk import at_the_window, new_record, walk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.tour.window_hand import WindowHand

BATCH = """
open shop
press Patterns
press Copy a route
press Mugs
type Tide mug
press New batch
press 4
press Go
"""
THROW = "press Whole route\npress Throw"


@pytest.fixture
def hand(tmp_path: Path, qapp: object) -> Iterator[WindowHand]:
    with at_the_window(new_record(tmp_path / "pots.shopclock")) as hand:
        yield hand


def key(hand: WindowHand, which: Qt.Key) -> None:
    QTest.keyClick(hand.frame, which)
    hand.see()


def dimmed(hand: WindowHand) -> bool:
    return any(screen.isVisible() for screen in hand.frame.findChildren(DimmedScreen))


def test_f11_takes_the_whole_screen_and_is_remembered_and_esc_leaves_it(hand: WindowHand) -> None:
    key(hand, Qt.Key.Key_Escape)
    assert not hand.frame.isFullScreen()
    key(hand, Qt.Key.Key_F11)
    assert hand.frame.isFullScreen()
    assert settings.value(hand.record.floor, settings.FULL_SCREEN) == "yes"
    assert hand.record.next_undo is None
    key(hand, Qt.Key.Key_Escape)
    assert not hand.frame.isFullScreen()
    assert settings.value(hand.record.floor, settings.FULL_SCREEN) == "no"


def test_the_window_opens_full_where_that_was_chosen(tmp_path: Path, qapp: object) -> None:
    record = new_record(tmp_path / "pots.shopclock")
    with at_the_window(record) as hand:
        walk(hand, "open shop\nseek Look and sizes\nseek Full screen\nseek Yes")
        assert hand.frame.isFullScreen()
    with at_the_window(record) as hand:
        assert hand.frame.isFullScreen()


def test_a_finger_leaves_full_screen_on_the_front_of_shop(hand: WindowHand) -> None:
    walk(hand, "open shop")
    assert not {"Leave full screen", "Close Shopclock"} & set(hand.reach)
    key(hand, Qt.Key.Key_F11)
    assert {"Leave full screen", "Close Shopclock"} <= set(hand.reach)
    hand.press("Leave full screen")
    assert not hand.frame.isFullScreen()
    assert "Leave full screen" not in hand.reach


def test_the_window_closes_by_a_finger_where_no_clock_runs(hand: WindowHand) -> None:
    walk(hand, "open shop")
    key(hand, Qt.Key.Key_F11)
    hand.press("Close Shopclock")
    assert not hand.frame.isVisible()


@pytest.mark.parametrize(
    ("answer", "closed", "runs"),
    [("Stop and close", True, False), ("Close, it runs on", True, True), ("Stay here", False, True)],
)
def test_closing_with_a_running_clock_asks(hand: WindowHand, answer: str, closed: bool, runs: bool) -> None:
    walk(hand, BATCH + THROW)
    assert not hand.frame.close()
    hand.see()
    assert hand.read[0] == "Throw 26-01 runs"
    assert not hand.frame.close()  # asked once
    hand.press(answer)
    assert hand.frame.isVisible() is not closed
    assert bool(hand.record.floor.running) is runs


def test_a_wait_that_goes_on_asks_nothing(hand: WindowHand) -> None:
    walk(hand, BATCH + THROW + "\nwork 6\npress Next: Stiffen")
    assert hand.record.floor.running
    assert hand.frame.close()


def test_a_full_screen_dims_once_left_alone_and_the_press_that_wakes_does_nothing_else(hand: WindowHand) -> None:
    key(hand, Qt.Key.Key_F11)
    walk(hand, "open batches\nwait 9")
    assert not dimmed(hand)
    hand.wait("2")
    assert dimmed(hand)
    assert hand.reach == []
    hand.touch()
    assert not dimmed(hand)
    assert hand.frame.current == "batches"
    hand.wait("9")
    assert not dimmed(hand)
    hand.wait("2")
    QTest.keyClick(hand.frame.focusWidget(), Qt.Key.Key_Space)
    assert not dimmed(hand)


def test_a_window_never_dims(hand: WindowHand) -> None:
    hand.wait("40")
    assert not dimmed(hand)


def test_a_full_screen_stays_bright_where_that_was_chosen(hand: WindowHand) -> None:
    walk(hand, "open shop\nseek Look and sizes\nseek Full screen dims\nseek Never")
    key(hand, Qt.Key.Key_F11)
    hand.wait("600")
    assert not dimmed(hand)


def test_what_runs_keeps_the_screen_bright_and_a_pedal_acts_on_a_dimmed_one(hand: WindowHand) -> None:
    hand.record.press("Key", lambda tx: keys.set_key(tx, "next", "F9"), undoable=False)
    walk(hand, BATCH)
    key(hand, Qt.Key.Key_F11)
    walk(hand, "open bench\nwait 11")
    assert dimmed(hand)
    hand.frame.activateWindow()
    QTest.keyClick(hand.frame.focusWidget(), Qt.Key.Key_F9)
    hand.see()
    assert not dimmed(hand)
    assert [interval.step_id is not None for interval in hand.record.floor.running.values()] == [True]
    hand.wait("30")
    assert not dimmed(hand)
