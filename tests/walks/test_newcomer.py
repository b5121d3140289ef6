"""On an empty machine: from the first window to the first start, by what the window itself says to press."""

import gc
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from shopclock import app
from shopclock.record.file.place import usual_place
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.screens.shell.window import make_window
from shopclock.screens.start.opening import Opening
from shopclock.shop.values.entities import Interval, Method, Pattern, Piece, RouteStep
from shopclock.tour.finger import Finger
from shopclock.tour.window_hand import application

PRESSES = ("My own shop", "Stock removal")
NAME = "Creek paring"
MORE_PRESSES = ("New batch", "7", "Start: Saw out")
MOST = 6


@pytest.fixture
def finger(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Finger]:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    frame, look = make_window(application(), app.TABS)
    look.bounce_ms = 0
    opening = Opening(frame, look, app.build)
    assert opening.choose(None, demo=False)
    frame.show()
    opening.go_on_when_painted()
    finger = Finger(frame)
    qtbot.waitUntil(lambda: "My own shop" in finger.reach)
    yield finger
    opening.close()
    gc.unfreeze()


def test_a_newcomer_times_the_first_stage_within_six_presses(finger: Finger) -> None:
    assert finger.reach == ["My own shop", "The demo shop", "A record I have"]
    for words in PRESSES:
        finger.press(words)
    finger.type(NAME)
    for words in MORE_PRESSES:
        finger.press(words)
    assert len(PRESSES) + 1 + len(MORE_PRESSES) <= MOST
    assert "Saw out" in finger.read
    assert {"Stop", "Next: Profile", "Done: A"} <= set(finger.reach)
    with ReadOnlyRecord.open(usual_place()) as reading:
        assert [pattern.name for pattern in reading.floor.all(Pattern)] == [NAME]
        (running,) = reading.floor.running.values()
        assert len(running.pieces) == len(list(reading.floor.all(Piece))) == 7


def test_a_home_in_which_nothing_can_be_made_is_told_in_a_sentence_with_a_way_out(
    finger: Finger, tmp_path: Path
) -> None:
    (tmp_path / ".local").write_text("no folder")
    finger.press("My own shop")
    (said,) = (line for line in finger.read if "can't be used" in line)
    assert re.fullmatch(
        rf"{tmp_path}/\S+ can't be used: Not a directory. Nothing was changed. A record may lie elsewhere: "
        r"`shopclock --record PATH` opens it there\.",
        said,
    )


def test_a_route_is_made_the_shops_own_within_fifteen_presses(finger: Finger) -> None:
    """Three steps out, a step of another name and another way of doing it: two names besides that of the pattern."""
    pressed = 0
    for words in ("My own shop", "Stock removal, carbon steel"):
        finger.press(words)
        pressed += 1
    finger.type(NAME)
    for step in ("9  Mark", "7  Temper 2", "3  Drill holes"):
        for words in (step, "Remove"):
            finger.press(words)
            pressed += 1
    finger.press("3  Grind bevels")
    finger.press("Name")
    finger.type("Bevels")
    finger.press("Methods")
    finger.press("Add a method")
    finger.type("rolling jig")
    pressed += 4 + 3  # an Enter behind each name
    assert pressed <= 15
    with ReadOnlyRecord.open(usual_place()) as reading:
        floor = reading.floor
        names = [step.name for step in floor.all(RouteStep)]
        assert "Bevels" in names
        assert not {"Mark", "Temper 2", "Drill holes", "Grind bevels"} & set(names)
        assert "rolling jig" in [method.name for method in floor.all(Method)]


def test_before_a_choice_nothing_is_written(finger: Finger) -> None:
    assert not usual_place().exists()
    finger.press("My own shop")
    with ReadOnlyRecord.open(usual_place()) as reading:
        assert not list(reading.floor.all(Interval))
