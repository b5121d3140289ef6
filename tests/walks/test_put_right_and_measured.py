"""In the real window: an evening put right by buttons, a call taken off, readings typed, scales mixed up."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.shop.state.wording import time_text, zone_of
from shopclock.shop.values.entities import Interval, Reading, Stage
from shopclock.shop.values.kinds import Certainty
from shopclock.shop.work.pairs import pair_said
from shopclock.shop.work.readings import measured, outside, target, whose
from shopclock.tour.window_hand import WindowHand
from tests.walks.walk import at_the_window, new_record, shown, walk

SHOP = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 5
press Go
press Whole route
press Grind bevels
"""
"""It is 18:30."""


@pytest.fixture
def hand(tmp_path: Path, qapp: object) -> Iterator[WindowHand]:
    path = new_record(tmp_path / "shop.shopclock")
    with at_the_window(path) as found:
        yield found
    assert check(path) == []


def pad(hand: WindowHand, typed: str) -> None:
    """Type on the number pad."""
    for key in typed:
        hand.press(key)
    hand.press("OK")


def first(hand: WindowHand, words: str) -> None:
    """Press the first button whose words begin so."""
    hand.press(next(said for said in hand.reach if said.startswith(words)))


def day(hand: WindowHand) -> list[str]:
    """What was worked, from when to when, in the order of the day."""
    floor = hand.record.floor
    zone = zone_of(floor)

    def said(interval: Interval) -> str:
        end = time_text(interval.end_us, zone) if interval.end_us is not None else "now"
        return f"{time_text(interval.start_us, zone)} {end} {floor.get(Stage, interval.stage_id).name}"

    return [said(interval) for interval in sorted(floor.all(Interval), key=lambda i: (i.start_us, i.id))]


def test_a_call_is_taken_off_and_a_start_moved_back_by_one_press_each(hand: WindowHand) -> None:
    walk(hand, SHOP + "work 40\npress Adjust\npress Take off 10 min")
    assert day(hand) == ["18:30 19:00 Grind bevels", "19:10 now Grind bevels"]
    walk(hand, "work 20\npress Stop\nwork 30\npress Saw scales\nwork 6\npress Adjust")
    assert {"Since 19:56", "Since 19:36", "Since 19:30"} <= set(hand.reach)
    hand.press("Since 19:30")
    assert day(hand)[1:] == ["19:10 19:30 Grind bevels", "19:30 now Saw scales"]
    (runs,) = hand.record.floor.running.values()
    assert runs.start_sure is Certainty.AMENDED
    walk(hand, "press Undo")
    assert day(hand)[2] == "20:00 now Saw scales"


def test_a_day_is_split_joined_added_to_and_taken_from_and_its_history_tells(hand: WindowHand) -> None:
    walk(hand, SHOP + "work 14\npress Done: A\nwork 46\npress Stop\npress Adjust\npress Amend times")
    first(hand, "18:30 – 19:30")
    walk(hand, "press Split at")
    pad(hand, "19:00")
    assert day(hand) == ["18:30 19:00 Grind bevels", "19:00 19:30 Grind bevels"]
    walk(hand, "press Join next")
    assert day(hand) == ["18:30 19:30 Grind bevels"]
    walk(hand, "press Reason\ntype looked at the kitchen clock\npress End")
    pad(hand, "19:20")
    walk(hand, "press Back\npress Add\npress Shop work")
    hand.press("Sweeping")
    pad(hand, "18:00")
    pad(hand, "18:20")
    assert day(hand) == ["18:00 18:20 Sweeping", "18:30 19:20 Grind bevels"]
    walk(hand, "press Take away")
    assert day(hand) == ["18:30 19:20 Grind bevels"]
    walk(hand, "press History")
    first(hand, "19:30   Grind bevels till 19:20")
    told = shown(hand)
    assert "Reason: looked at the kitchen clock" in told, told
    assert any("end 19:30 → 19:20" in words for words in told), told


def test_readings_by_letter_and_by_load_and_scales_that_were_mixed_up(hand: WindowHand) -> None:
    walk(hand, SHOP + "work 20\npress Stop\npress Adjust\npress Reading\npress C\npress Edge before sharpening")
    pad(hand, "3/32")
    assert "C: Edge before sharpening 3/32 in, above 0.01 in." in shown(hand)
    walk(hand, "press Whole route\nseek Temper 1\nwork 3\npress Reading\npress The whole load")
    hand.press("Oven reading")
    walk(hand, "press °C")
    pad(hand, "396")
    floor = hand.record.floor
    edge, oven = sorted(floor.all(Reading), key=lambda reading: reading.id)
    assert (str(measured(edge)), outside(floor, edge)) == ("3/32 in", "above 0.01 in")
    assert (str(measured(oven)), str(target(oven)), whose(floor, oven)) == ("396 °F", "200 °C", "oven 200 °C")
    walk(hand, "open batches\npress 26-01 Creek paring\npress A\npress Pair of scales")
    pad(hand, "7")
    walk(hand, "press Back\npress B\npress Pair of scales")
    pad(hand, "8")
    walk(hand, "press Pair of scales\npress Its number\npress Clear")
    pad(hand, "7")
    assert any("Pair 7 is on A" in words for words in shown(hand)), shown(hand)
    first(hand, "Swap")
    pieces = {piece.mark: pair_said(floor, piece) for piece in floor.living(floor.open_batches()[0].id)}
    assert (pieces["A"], pieces["B"]) == ("8", "7")
