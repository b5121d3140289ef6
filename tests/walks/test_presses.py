"""How many presses the common turns of an evening take, each walked in the real window; each with a shop that errs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.setup.list_edit import new_method
from shopclock.shop.values.entities import Batch, Interval, Method, Piece, Stage, Step
from shopclock.shop.values.kinds import Certainty, Kind, Outcome, WorkKind
from tests.walks.walk import at_the_window, kept, lines, new_record, walk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.tour.window_hand import WindowHand

ROUTE = """
open shop
press Patterns
press Copy a route
seek Stock removal, carbon steel
type {name}
press New batch
press {n}
press Go
"""
MINUTE_US = 60_000_000


@pytest.fixture
def hand(tmp_path: Path, qapp: object) -> Iterator[WindowHand]:
    with at_the_window(new_record(tmp_path / "shop.shopclock")) as found:
        yield found


def presses(hand: WindowHand, story: str) -> int:
    """Walk a story; returns how many presses it took."""
    walk(hand, story)
    return sum(line.startswith(("press ", "seek ")) for line in lines(story))


def at_work(hand: WindowHand) -> dict[str, str]:
    """What runs by hand, by step and batch, and with whom."""
    floor = hand.record.floor
    running = [i for i in floor.running.values() if i.kind is Kind.HANDS_ON and i.step_id is not None]
    named = {i.id: (floor.get(Step, i.step_id or 0).name, floor.get(Batch, i.batch_id or 0).name) for i in running}
    return {" ".join(named[i.id]): "".join(floor.marks(i.pieces)) for i in running}


def test_both_at_once_across_batches_takes_two_presses_and_each_is_carried_on_by_itself(hand: WindowHand) -> None:
    walk(hand, ROUTE.format(name="Creek paring", n=3) + ROUTE.format(name="Tidewater cook", n=2))
    walk(hand, "press Start: Saw out\nwork 5")
    assert presses(hand, "press 26-01\npress Both") == 2
    assert at_work(hand) == {"Saw out 26-02": "AB", "Saw out 26-01": "ABC"}
    walk(hand, "work 5\npress Stop\nwork 0.1")
    assert presses(hand, "press Carry on: Saw out") == 1
    assert at_work(hand) == {"Saw out 26-01": "ABC"}
    walk(hand, "work 5\npress Stop\npress 26-02\nwork 0.1")
    assert presses(hand, "press Start: Saw out") == 1
    assert at_work(hand) == {"Saw out 26-02": "AB"}


def test_a_phone_call_takes_two_presses(hand: WindowHand) -> None:
    walk(hand, ROUTE.format(name="Creek paring", n=3) + "press Start: Saw out\nwork 12")
    assert presses(hand, "press Stop\nwork 6\npress Carry on: Saw out") == 2
    walk(hand, "work 3\npress Stop")
    worked = [(i.end_us or 0) - i.start_us for i in hand.record.floor.all(Interval)]
    assert worked == [12 * MINUTE_US, 3 * MINUTE_US]


def test_a_phone_call_that_nobody_stopped_for_is_taken_off_by_two(hand: WindowHand) -> None:
    walk(hand, ROUTE.format(name="Creek paring", n=3) + "press Start: Saw out\nwork 18")
    assert presses(hand, "press Adjust\npress Take off 5 min") == 2
    walk(hand, "work 2\npress Stop")
    worked = sum((i.end_us or 0) - i.start_us for i in hand.record.floor.all(Interval))
    assert worked == 15 * MINUTE_US


def test_a_stop_that_was_forgotten_is_answered_by_stop_and_the_night_is_not_booked_as_sure(hand: WindowHand) -> None:
    walk(hand, ROUTE.format(name="Creek paring", n=3) + "press Start: Saw out\nwork 12\npress Done: A\nwait 650")
    assert presses(hand, "press Stop") == 1
    assert not hand.record.floor.running
    sure = [i for i in hand.record.floor.all(Interval) if i.end_sure is Certainty.PRESSED]
    assert sum((i.end_us or 0) - i.start_us for i in sure) <= 12 * MINUTE_US


def test_rework_takes_three_presses_with_its_cause_not_known(hand: WindowHand) -> None:
    walk(hand, ROUTE.format(name="Creek paring", n=3) + "press Start: Saw out\nwork 12\npress Next: Profile\nwork 3")
    assert presses(hand, "press Not right\npress B\npress Rework: Profile") == 3
    (again,) = (i for i in hand.record.floor.running.values() if i.work is WorkKind.REWORK)
    assert again.cause_step_id is None
    assert hand.record.floor.marks(again.pieces) == ["B"]


def test_a_batch_that_is_through_is_closed_from_the_plate_by_one_press(hand: WindowHand) -> None:
    walk(
        hand,
        ROUTE.format(name="Creek paring", n=3) + "press Whole route\nseek Check and pack\nwork 9\npress All through",
    )
    assert presses(hand, "press Close 26-01") == 1
    assert not hand.record.floor.open_batches()
    assert all(p.outcome is not None for p in hand.record.floor.pieces(1))


BEVELS = ROUTE.format(name="Creek paring", n=4) + "press Whole route\npress Grind bevels\n"


def minutes(hand: WindowHand) -> dict[str, float]:
    """Minutes of each piece of the first batch."""
    floor = hand.record.floor
    got = {piece.mark: 0.0 for piece in floor.pieces(1)}
    for row in piece_labour(floor, 1, hand.clock.at_us):
        got[floor.get(Piece, row.piece_id).mark] += row.us / MINUTE_US
    return {mark: round(one, 2) for mark, one in got.items()}


def test_c_before_a_and_b_is_one_press(hand: WindowHand) -> None:
    walk(hand, BEVELS + "work 13")
    assert presses(hand, "press C") == 1
    walk(hand, "work 15\npress Done: A\nwork 16\npress Done: B\npress Stop")
    assert minutes(hand) == {"A": 15, "B": 16, "C": 13, "D": 0}


def test_three_marked_at_once_afterwards_are_three_presses(hand: WindowHand) -> None:
    walk(hand, BEVELS + "work 10\npress Done: A\nwork 45\npress Stop\nwork 60")
    assert presses(hand, "press D\npress B\npress C") == 3
    assert minutes(hand) == {"A": 10, "B": 15, "C": 15, "D": 15}


def test_a_dropped_blade_is_four_presses_and_its_minutes_are_carried(hand: WindowHand) -> None:
    walk(hand, BEVELS + "work 15\npress Done: A\nwork 14")
    assert presses(hand, "press Not right\npress B\npress Lost\npress dropped") == 4
    walk(hand, "work 15\npress Done: C\nwork 15\npress Done: D")
    assert minutes(hand) == {"A": 15, "B": 14, "C": 15, "D": 15}
    found = figures(hand.record.floor, 1, hand.clock.at_us)
    assert found.whole.carried[Outcome.SCRAPPED] == 14 * MINUTE_US


ONE_BY_ONE = "".join(f"work 0.1\npress Done: {mark}\n" for mark in "ABCDEF")
"""Six of seven, soon after each other: an Undo of what ended minutes ago asks first."""


def test_thirty_presses_are_taken_back_by_thirty_and_put_back_by_thirty(hand: WindowHand) -> None:
    walk(hand, ROUTE.format(name="Creek paring", n=7) + "press Start: Saw out\nwork 1")
    start, steps = kept(hand.record), ("Profile", "Drill holes", "Grind bevels")
    pressed = "".join(f"{ONE_BY_ONE}work 0.1\npress Next: {step}\n" for step in steps)
    assert presses(hand, f"{pressed}{ONE_BY_ONE}press Stop\nwork 0.1\npress Carry on\nwork 0.1\npress Done: G") == 30
    end = kept(hand.record)
    assert presses(hand, "press Undo\n" * 30) == 30
    assert kept(hand.record) == start
    assert presses(hand, "press Put back\n" * 30) == 30
    assert kept(hand.record) == end
    assert check(hand.record.path) == []


def test_the_third_of_three_methods_is_one_press_away_while_it_runs(hand: WindowHand) -> None:
    walk(hand, ROUTE.format(name="Creek paring", n=3) + "press Whole route\npress Grind bevels\nwork 2")
    stage = next(s for s in hand.record.floor.all(Stage) if s.name == "Grind bevels")
    hand.record.press("Method", lambda tx: new_method(tx, stage, "push stick"))
    hand.see()
    assert presses(hand, "press push stick") == 1
    (running,) = hand.record.floor.running.values()
    assert running.method_id == max(m.id for m in hand.record.floor.all(Method))
