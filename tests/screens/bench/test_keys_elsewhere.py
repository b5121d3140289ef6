"""Keys that are for no button of the Bench: a screen, the first answer to an alarm, the clock by ear."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtTest import QTest

from shopclock.shop.state.keys import SCREENS, set_key
from shopclock.widgets import accessible
from tests.walks.walk import MUGS, at_the_window, new_record, walk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.tour.window_hand import WindowHand


@pytest.fixture
def hand(tmp_path: Path, qapp: object) -> Iterator[WindowHand]:
    with at_the_window(new_record(tmp_path / "pots.shopclock")) as hand:
        hand.frame.activateWindow()
        yield hand


def give(hand: WindowHand, action: str) -> None:
    """Give an action the key F9."""
    hand.record.press("Key", lambda tx: set_key(tx, action, "F9"), undoable=False)
    hand.see()


def press_f9(hand: WindowHand) -> None:
    QTest.keyClick(hand.frame, Qt.Key.Key_F9)
    hand.see()


@pytest.mark.parametrize("action", [action for action in SCREENS if action != "see_trends"])
def test_a_screen_comes_in_sight_by_its_key(hand: WindowHand, action: str) -> None:
    give(hand, action)
    hand.open("bench" if action != "see_bench" else "plan")
    press_f9(hand)
    assert hand.frame.current == action.removeprefix("see_")


def test_no_screen_comes_in_sight_over_a_question(hand: WindowHand) -> None:
    walk(hand, MUGS + "press Not right")
    give(hand, "see_shop")
    press_f9(hand)
    assert hand.frame.current == "bench"


def test_an_alarm_is_answered_by_a_key(hand: WindowHand) -> None:
    walk(hand, MUGS + "work 6\npress Next: Stiffen\nwork 1100")
    assert hand.reach[0] == "Seen"
    give(hand, "answer")
    press_f9(hand)
    assert "Seen" not in hand.reach


def test_the_clock_is_said_when_it_is_asked_for(hand: WindowHand, monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[str] = []

    def hear(event: object) -> None:
        if isinstance(event, QAccessibleAnnouncementEvent):
            said.append(event.message())

    monkeypatch.setattr(QAccessible, "isActive", lambda: True)
    monkeypatch.setattr(QAccessible, "updateAccessibility", hear)
    monkeypatch.setattr(accessible, "BY_NOTICE", False)
    walk(hand, MUGS)
    give(hand, "say")
    walk(hand, "wait 12")
    said.clear()
    press_f9(hand)
    assert said == ["Throw 26-01, 12 min"]
    walk(hand, "press Stop\nwait 1")
    said.clear()
    press_f9(hand)
    assert said == ["Nothing runs by hand"]
