"""A heat-treat day of nine blades in an oven for five, and six handles glued with eight clamps."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shopclock.shop.values.entities import Step
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work.piece_progress import through
from shopclock.tour.window_hand import WindowHand
from tests.walks.walk import act, at_the_window, lines, new_record, walk

NEW = """
open shop
press Patterns
press Copy a route
seek Stock removal, carbon steel
type Creek paring
press New batch
press {n}
press Go
press Whole route
seek {step}
"""


@pytest.fixture
def hand(tmp_path: Path, qapp: object) -> Iterator[WindowHand]:
    with at_the_window(new_record(tmp_path / "knives.shopclock")) as found:
        yield found


def waits(hand: WindowHand) -> list[tuple[str, str]]:
    """What waits, and who is in it."""
    floor = hand.record.floor
    running = sorted((i for i in floor.running.values() if i.kind is Kind.WAIT), key=lambda i: i.id)
    return [(floor.get(Step, i.step_id or 0).name, "".join(floor.marks(i.pieces))) for i in running]


def go(hand: WindowHand, story: str) -> int:
    """Walk a story; what comes up over the screen is seen, unless it is what the story takes out.

    Returns how many presses it took, those on *Seen* among them.
    """
    pressed = 0
    for line in (*lines(story), "work 0"):
        while "Seen" in hand.reach and not (line == "press Take out" and "Take out" in hand.reach):
            hand.press("Seen")
            pressed += 1
        act(hand, line)
        pressed += line.startswith("press ")
    return pressed


def shared(hand: WindowHand) -> bool:
    """Whether all that waits lies in one load."""
    return len({i.load_id for i in hand.record.floor.running.values()} - {None}) == 1


QUENCH_FIVE = """
work 30
press Next: Harden
work 6
press Done: A
work 6
press Done: B
work 6
press Done: C
work 6
press Done: D
work 6
press Next: Temper 1
"""

QUENCH_FOUR_ONE_WARPS = """
press Start: Harden
work 6
press Done: F
press Not right
press F
press Set aside
work 6
press Done: G
work 6
press Done: H
work 6
press Next: Temper 1
"""


def test_nine_blades_in_an_oven_for_five_with_one_warped_in_a_third_load(hand: WindowHand) -> None:
    walk(hand, NEW.format(n=9, step="Grind bevels"))
    pressed = go(hand, QUENCH_FIVE)
    assert waits(hand) == [("Temper 1", "ABCDE")]
    pressed += go(hand, "work 121\npress Take out\n" + QUENCH_FOUR_ONE_WARPS)
    assert waits(hand) == [("Temper 1", "GHJ")]
    pressed += go(hand, "press Start: Temper 2")
    assert waits(hand) == [("Temper 1", "GHJ"), ("Temper 2", "AB")]
    assert shared(hand)
    assert "C–E wait: oven full until 23:55." in hand.read
    pressed += go(
        hand, "work 121\npress Take out\npress Not right\npress F\npress Take up again\npress Start: Temper 1"
    )
    pressed += go(hand, "press Start: Temper 2")
    assert waits(hand) == [("Temper 1", "F"), ("Temper 2", "CDEG")]
    assert shared(hand)
    pressed += go(hand, "work 121\npress Take out\npress Start: Temper 2\nwork 121\npress Take out")
    assert waits(hand) == []
    floor = hand.record.floor
    steps = {step.name: step for step in floor.steps(floor.open_batches()[0].id)}
    assert all(len(through(floor, s.batch_id)[s.id]) == 9 for n, s in steps.items() if n in ("Harden", "Temper 2"))
    assert pressed == 29  # seven of them quench, four say who is set aside and taken up again


def test_six_handles_with_eight_clamps_are_glued_in_two_evenings_and_shaped_the_next_day(hand: WindowHand) -> None:
    go(hand, NEW.format(n=6, step="Mark") + "work 20\npress Stop\npress All through\n")
    walk(hand, "press Whole route\nseek Fit scales\nwork 20\npress Next: Glue up\n")
    for mark in "ABC":
        walk(hand, f"work 8\npress Done: {mark}")
    walk(hand, "work 8\npress Next: Cure")
    assert sorted(who for _, who in waits(hand)) == list("ABCD")
    assert shared(hand)
    go(hand, "work 1500\npress Out: Cure")
    assert waits(hand) == []
    go(hand, "press Start: Glue up\nwork 8\npress Done: E\nwork 8\npress Next: Cure")
    assert [who for _, who in waits(hand)] == ["E", "F"]
    go(hand, "press Start: Shape handle")
    (shaping,) = (i for i in hand.record.floor.running.values() if i.kind is Kind.HANDS_ON)
    assert hand.record.floor.marks(shaping.pieces) == list("ABCD")
