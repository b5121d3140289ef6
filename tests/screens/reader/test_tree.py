"""Every state of the window is told to a screen reader: role, name and state of all, and every painted text."""

from __future__ import annotations

import shutil
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QAccessible

from shopclock.demo.notes import write_notebook
from shopclock.demo.shop import demo_shop
from shopclock.demo.write import default_end_us, write_demo
from shopclock.tour.story import STORY
from shopclock.tour.window import StoppedClock
from shopclock.tour.window_hand import WindowHand
from shopclock.widgets.accessible import covered, stops
from shopclock.widgets.press_button import PressButton
from tests.screens.reader.told import HOLDERS, all_shown, tree, untold
from tests.walks.walk import TABLET

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QWidget

    from tests.screens.reader.told import Told

Role = QAccessible.Role


def nameless(all_told: list[Told]) -> list[str]:
    """What has no role, or no name and is no mere holder of what has."""
    wrong = (one for one in all_told if one.role is Role.NoRole or not (one.name or one.role in HOLDERS))
    return [f"{one.role.name} with {one.children}" for one in wrong]


def wrongly_stated(window: QWidget) -> list[str]:
    """Buttons of which a screen reader is told another state than they have, or that it can't press."""
    wrong = []
    for button in (one for one in all_shown(window) if isinstance(one, PressButton)):
        interface = QAccessible.queryAccessibleInterface(button)
        state, enabled = interface.state(), button.state.enabled
        chosen = bool(state.checked or state.selected)
        pressed = "Press" in interface.actionInterface().actionNames()
        if (not state.disabled, pressed, chosen) != (enabled, enabled, bool(button.state.checked)):
            wrong.append(button.state.title)
    return wrong


def out_of_order(window: QWidget) -> list[str]:
    """Where Tab stops though it is covered, or twice, or after what stands wholly below it in the same holder."""
    there = stops(window)
    wrong = [one.accessibleName() for one in there if covered(one) or there.count(one) > 1]
    for before, after in pairwise(there):
        if before.parentWidget() is after.parentWidget() and after.geometry().bottom() < before.y():
            wrong.append(f"{after.accessibleName()} after {before.accessibleName()}")
    return wrong if there else ["nothing to stop at"]


def wrong_in(window: QWidget) -> dict[str, list[str]]:
    """All that is wrong with what is told of a window now."""
    all_told = tree(window)
    found = {
        "nameless": nameless(all_told),
        "wrongly stated": wrongly_stated(window),
        "out of order": out_of_order(window),
        "untold": untold(window, all_told),
    }
    return {what: which for what, which in found.items() if which}


@pytest.fixture
def hand(tmp_path: Path, qapp: object) -> Iterator[WindowHand]:
    record = tmp_path / "shop.shopclock"
    write_demo(tmp_path / "demo.shopclock")
    shutil.copyfile(tmp_path / "demo.shopclock", record)
    write_notebook(tmp_path)
    hand = WindowHand(tmp_path, record, TABLET, StoppedClock(default_end_us(demo_shop())))
    yield hand
    hand.close()


def test_every_state_of_the_tour_is_told(hand: WindowHand) -> None:
    wrong = {}
    for act, words in STORY:
        if act != "draw":
            getattr(hand, act)(words)
        elif found := wrong_in(hand.frame):
            wrong[words] = found
    assert not wrong
