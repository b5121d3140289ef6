"""Taken along on a stick, put right at the desk, brought back: through the buttons of real windows."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.screens.files import drives
from shopclock.shop.values.entities import Interval, Stage
from shopclock.shop.work import amend, begin
from shopclock.tour.window import StoppedClock, Window
from shopclock.tour.window_hand import WindowHand
from shopclock.widgets.press_button import PressButton
from tests.record.on_disk import DiskShop
from tests.shop.workshop import MINUTE_US

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

WINDOW = Window(1280, 800, 5.94, "dark")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    made = DiskShop(tmp_path, 4)
    step = next(s for s in made.floor.steps(made.batches[0].id) if s.kind.attended)
    made.press(lambda tx: begin.begin(tx, step))
    made.clock.on(us=60 * MINUTE_US)
    made.press(begin.stop)
    made.close()
    return made.path


@pytest.fixture
def stick(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A stick that is plugged in."""
    place = tmp_path / "stick"
    place.mkdir()
    monkeypatch.setattr(drives, "drives", lambda: [("STICK", place)])
    return place


def window(path: Path, after_min: float) -> WindowHand:
    with ReadOnlyRecord.open(path) as reading:
        clock = StoppedClock(reading.newest_us + round(after_min * MINUTE_US), boot_id="walk")
    return WindowHand(path.parent, path, WINDOW, clock)


@pytest.fixture
def at_the_shop(shop: Path, stick: Path) -> Iterator[WindowHand]:
    hand = window(shop, 10)
    yield hand
    hand.close()


def move_end(hand: WindowHand, minutes: int) -> None:
    interval = next(hand.record.floor.all(Interval))
    assert interval.end_us is not None
    end_us = interval.end_us - minutes * MINUTE_US
    hand.record.press("End", lambda tx: amend.move_end(tx, interval, end_us, others_give_way=False))


def test_the_record_is_taken_along_put_right_and_brought_back(at_the_shop: WindowHand, stick: Path) -> None:
    at_the_shop.press("Shop")
    at_the_shop.press("In and out")
    at_the_shop.press("Shop and desk")
    assert "The shop's record" in at_the_shop.read
    at_the_shop.press("Take along")
    at_the_shop.press("STICK")
    assert any("shop at the desk.shopclock is in" in said for said in at_the_shop.read)
    at_the_shop.press("OK")
    (copy,) = stick.glob("*.shopclock")

    desk = window(copy, 60)
    assert any(said.startswith("Desk's copy") for said in desk.read)
    assert desk.frame.windowTitle().startswith("Shopclock: The desk's copy, taken along")
    move_end(desk, 5)
    stage = next(desk.record.floor.all(Stage))
    desk.record.press("Name", lambda tx: tx.change(replace(tx.current(stage), name="Draw-file")))
    desk.press("Bench")
    stood = len(list(desk.record.floor.all(Interval)))
    desk.close()

    move_end(at_the_shop, 9)
    at_the_shop.open("shop")
    at_the_shop.press("Back")
    at_the_shop.press("Shop and desk")
    assert any("a copy was taken along" in said for said in at_the_shop.read)
    at_the_shop.press("Bring back")
    assert "2 entries from the desk" in at_the_shop.read
    assert "1 of them was changed on both sides: press each and pick" in at_the_shop.read
    told = [button.state for button in at_the_shop.frame.findChildren(PressButton) if button.isVisible()]
    assert [(one.detail, one.enabled) for one in told if one.title == "Stage Draw-file"] == [
        ("name Sweeping → Draw-file", False)
    ]
    at_the_shop.press(_tile(at_the_shop))
    at_the_shop.press("The desk")
    at_the_shop.press("Join both")
    assert "What the desk changed is in the record. Undo takes it back." in at_the_shop.read
    at_the_shop.press("OK")
    floor = at_the_shop.record.floor
    assert next(floor.all(Stage)).name == "Draw-file"
    assert len(list(floor.all(Interval))) == stood
    assert check(at_the_shop.record.path) == []
    at_the_shop.press("Undo")
    assert next(floor.all(Stage)).name != "Draw-file"


def _tile(hand: WindowHand) -> str:
    """What the tile of the entry says that both sides changed."""
    return next(words for words in hand.reach if ", " in words)


def test_a_clock_started_at_the_desk_is_refused_in_one_sentence(at_the_shop: WindowHand, stick: Path) -> None:
    at_the_shop.press("Shop")
    at_the_shop.press("In and out")
    at_the_shop.press("Shop and desk")
    at_the_shop.press("Take along")
    at_the_shop.press("STICK")
    at_the_shop.press("OK")
    (copy,) = stick.glob("*.shopclock")
    desk = window(copy, 60)
    try:
        desk.press("Carry on")
        assert any("Start and stop clocks in the shop" in said for said in desk.read)
        assert not desk.record.floor.running
    finally:
        desk.close()
