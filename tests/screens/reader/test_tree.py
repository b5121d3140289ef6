"""Every state of the window is told to a screen reader: role, name and state of all, and every painted text."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING

import pytest

from shopclock.demo.notes import write_notebook
from shopclock.demo.shop import demo_shop
from shopclock.demo.write import default_end_us, write_demo
from shopclock.tour.story import STORY, windows
from shopclock.tour.window import StoppedClock
from shopclock.tour.window_hand import WindowHand
from tests.plenty import few
from tests.screens.reader.wrong import wrong_in
from tests.walks.walk import TABLET

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.tour.window import Window


WINDOWS = [
    pytest.param(window, marks=() if window == TABLET else pytest.mark.long, id=window.name)
    for window in few(windows(everything=True))
]
"""The tablet each time; the other screens, the other theme and gloves where it may take long."""


@pytest.mark.parametrize("window", WINDOWS)
def test_every_state_of_the_tour_is_told(window: Window, tmp_path: Path, qapp: object) -> None:
    record = tmp_path / "shop.shopclock"
    write_demo(tmp_path / "demo.shopclock")
    shutil.copyfile(tmp_path / "demo.shopclock", record)
    write_notebook(tmp_path)
    hand, wrong = WindowHand(tmp_path, record, window, StoppedClock(default_end_us(demo_shop()))), {}
    try:
        for act, words in STORY:
            if act != "draw":
                getattr(hand, act)(words)
            elif found := wrong_in(hand.frame):
                wrong[words] = found
    finally:
        hand.close()
    assert not wrong
