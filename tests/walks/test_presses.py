"""How many presses the common turns of an evening take, each walked in the real window; each with a shop that errs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.setup.list_edit import new_method
from shopclock.shop.values.entities import Batch, Interval, Method, Stage, Step
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from tests.walks.walk import at_the_window, lines, new_record, walk

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


def test_the_third_of_three_methods_is_one_press_away_while_it_runs(hand: WindowHand) -> None:
    walk(hand, ROUTE.format(name="Creek paring", n=3) + "press Whole route\npress Grind bevels\nwork 2")
    stage = next(s for s in hand.record.floor.all(Stage) if s.name == "Grind bevels")
    hand.record.press("Method", lambda tx: new_method(tx, stage, "push stick"))
    hand.see()
    assert presses(hand, "press push stick") == 1
    (running,) = hand.record.floor.running.values()
    assert running.method_id == max(m.id for m in hand.record.floor.all(Method))
