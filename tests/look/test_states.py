"""Every state of the tour and of the galleries keeps the rules of the look, in every window."""

from __future__ import annotations

import runpy
import shutil
import sys
from typing import TYPE_CHECKING

import pytest

from shopclock.demo.notes import write_notebook
from shopclock.demo.shop import demo_shop
from shopclock.demo.write import default_end_us
from shopclock.tour.story import STORY, windows
from shopclock.tour.window import StoppedClock, Window
from shopclock.tour.window_hand import WindowHand
from tests.plenty import few
from tests.screens.pictures import SCREENS

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.look.conftest import Measured

SHORT = "1280x800-dark"
GALLERIES = (
    "alarms", "amend", "batches", "bench", "manual", "notes", "plan", "readings", "shop", "today", "trends",
)  # fmt: skip


def _marked(window: Window) -> object:
    return pytest.param(window, id=window.name, marks=[pytest.mark.long] * (window.name != SHORT))


@pytest.mark.parametrize("window", [_marked(window) for window in few(windows(everything=True))])
def test_every_state_of_the_tour(
    tmp_path: Path, copied_demo: Callable[..., Path], measured: Measured, window: Window
) -> None:
    record = tmp_path / "shop.shopclock"
    shutil.copyfile(copied_demo(), record)
    write_notebook(tmp_path)
    hand = WindowHand(tmp_path, record, window, StoppedClock(default_end_us(demo_shop())))
    try:
        for act, words in STORY:
            getattr(hand, act)(words)
    finally:
        hand.close()
    assert measured.states == sum(act == "draw" for act, _ in STORY)
    assert measured.told == []


@pytest.mark.long
@pytest.mark.parametrize("screen", few(SCREENS))
@pytest.mark.parametrize("gallery", GALLERIES)
def test_every_state_of_the_galleries(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, measured: Measured, gallery: str, screen: str
) -> None:
    monkeypatch.delitem(sys.modules, f"tests.screens.{gallery}.gallery", raising=False)  # others import it
    monkeypatch.setattr(sys, "argv", ["gallery", str(tmp_path), screen])
    runpy.run_module(f"tests.screens.{gallery}.gallery", run_name="__main__")
    assert measured.states
    assert measured.told == []
