"""On an empty machine: from the first window to the first start, by what the window itself says to press."""

import gc
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopclock import app
from shopclock.record.file.place import usual_place
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.screens.shell.window import make_window
from shopclock.screens.start.opening import Opening
from shopclock.shop.values.entities import Interval, Pattern, Piece
from shopclock.tour.finger import Finger
from shopclock.tour.window_hand import application

PRESSES = ("My own shop", "Stock removal")
NAME = "Creek paring"
MORE_PRESSES = ("New batch", "7", "Start: Saw out")
MOST = 6


@pytest.fixture
def finger(qapp: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Finger]:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    frame, look = make_window(application(), app.TABS)
    look.bounce_ms = 0
    opening = Opening(frame, look, app.build)
    assert opening.choose(None, demo=False)
    frame.show()
    opening.go_on_when_painted()
    finger = Finger(frame)
    finger.touch()
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


def test_before_a_choice_nothing_is_written(finger: Finger) -> None:
    assert not usual_place().exists()
    finger.press("My own shop")
    with ReadOnlyRecord.open(usual_place()) as reading:
        assert not list(reading.floor.all(Interval))
