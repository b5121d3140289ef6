"""What a hand in a glove gets wrong: nothing is lost, nothing is done twice, everything can be taken back."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.shop.values.entities import Batch, Interval, Pattern, Step, Tally
from shopclock.tour.window_hand import WindowHand
from shopclock.widgets.style import BOUNCE_MS
from tests.stopwatch import Stopwatch
from tests.walks.walk import at_the_window, new_record, walk

BATCH = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 7
press Go
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return new_record(tmp_path / "shop.shopclock")


@pytest.fixture
def hand(path: Path, qapp: object) -> Iterator[WindowHand]:
    with at_the_window(path) as opened:
        walk(opened, BATCH)
        yield opened
    assert check(path) == []


def at_work(hand: WindowHand) -> list[str]:
    floor = hand.record.floor
    return [floor.get(Step, i.step_id).name for i in floor.running.values() if i.step_id is not None]


def presses(hand: WindowHand) -> int:
    """How many intervals and marks there are: what a press too many would add to."""
    return sum(1 for kind in (Interval, Tally) for _ in hand.record.floor.all(kind))


def test_two_presses_of_the_same_button_within_half_a_second_are_one(
    path: Path, qapp: object, stopwatch: type[Stopwatch]
) -> None:
    with at_the_window(path) as hand:
        walk(hand, BATCH)
    with at_the_window(path, hand.clock.at_us, bounce_ms=BOUNCE_MS) as hand:
        stopwatch.on(BOUNCE_MS)
        walk(hand, "press Start: Saw out\nwork 1")
        stopwatch.on(BOUNCE_MS)
        hand.press("Next: Profile")
        hand.press("Next: Drill holes")
        assert at_work(hand) == ["Profile"]
        hand.press("Done: A")
        hand.press("Done: B")
        assert sum(t.interval_id is not None for t in hand.record.floor.all(Tally)) == 1
        stopwatch.on(BOUNCE_MS)
        hand.press("Next: Drill holes")
        assert at_work(hand) == ["Drill holes"]


def test_with_nothing_running_there_is_no_stop_and_no_next(hand: WindowHand) -> None:
    before = presses(hand)
    assert not {"Stop", "Next", "Carry on"} & set(hand.reach)
    walk(hand, "press Start: Saw out\nwork 5\npress Stop")
    assert "Stop" not in hand.reach
    assert presses(hand) == before + 1


def test_a_step_that_all_are_through_starts_again_as_rework_and_is_taken_back_by_one_press(hand: WindowHand) -> None:
    walk(hand, "press Start: Saw out\nwork 20\npress Next: Profile\nwork 5\npress Whole route\npress Saw out")
    assert "A–G again, as rework." in hand.read
    assert at_work(hand) == ["Saw out"]
    hand.press("Undo")
    assert at_work(hand) == ["Profile"]


def test_the_last_letter_stays_in_hand(hand: WindowHand) -> None:
    hand.press("Start: Saw out")
    hand.press("Pieces")
    for letter in "ABCDEFG":
        hand.press(letter)
    (running,) = hand.record.floor.running.values()
    assert len(running.pieces) == 1
    assert at_work(hand) == ["Saw out"]


def test_a_wrong_step_is_taken_back_as_if_it_had_not_been_pressed(hand: WindowHand) -> None:
    walk(hand, "press Start: Saw out\nwork 12\npress Saw scales\nwork 2\npress Undo\nwork 5\npress Stop")
    (worked,) = hand.record.floor.all(Interval)
    assert worked.end_us is not None
    assert worked.end_us - worked.start_us == 19 * 60_000_000


def test_undo_goes_back_to_the_very_start_and_then_there_is_nothing_to_undo(hand: WindowHand) -> None:
    walk(hand, "press Start: Saw out\nwork 3\npress Done: A\nwork 2\npress Next: Profile\npress Stop")
    for _ in range(20):
        if "Undo" not in hand.reach:
            break
        hand.press("Undo")
    assert "Undo" not in hand.reach
    floor = hand.record.floor
    assert [list(floor.all(kind)) for kind in (Interval, Tally, Step, Batch, Pattern)] == [[]] * 5
    assert "Copy a route" in hand.reach


def test_a_name_that_is_taken_is_told_and_asked_again(hand: WindowHand) -> None:
    walk(hand, "open shop\npress Patterns\npress Copy a route\npress Stock removal\ntype Creek paring")
    assert any("Creek paring" in words for words in hand.read)
    assert [p.name for p in hand.record.floor.all(Pattern)] == ["Creek paring"]
