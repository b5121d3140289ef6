"""Seventy minutes with two open batches, a call, a dropped blade, a stop forgotten; and coming in from the cold."""

from pathlib import Path

from shopclock.record.check.check import check
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.values.entities import Batch, Interval, Piece, Step
from shopclock.shop.values.kinds import Certainty, Kind, Outcome
from tests.walks.walk import START_US, at_the_window, new_record, shown, walk

MINUTE_US = 60_000_000
TWO_BATCHES = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 5
press Go
open shop
press Patterns
press Copy a route
press Kitchen knife
type Tidewater cook
press New batch
press 3
press Go
wait 90
open bench
press 26-01
"""
FROM_EIGHT_TO_TEN_PAST_NINE = """
press Start: Saw out
work 20
press Stop
work 6
press Carry on: Saw out
work 10
press Not right
press C
press Lost
press dropped
work 4
press 26-02
press Saw out
work 18
press Next: Profile
work 12
"""
"""The telephone rings at 20:20. At 21:10 supper is ready, and nobody stops the clock."""
OVER_NIGHT = "wait 660"


def test_an_evening_of_seventy_minutes_holds_sixty_four_of_work(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    with at_the_window(path) as hand:
        walk(hand, TWO_BATCHES + FROM_EIGHT_TO_TEN_PAST_NINE + OVER_NIGHT)
        assert {"Yes, still at it", "It was another step", "Stop"} <= set(hand.reach)
        hand.press("21:10")
        assert not hand.record.floor.running
        assert "Yes, still at it" not in hand.reach
        now_us = hand.clock.at_us
    with ReadOnlyRecord.open(path) as reading:
        first, second = sorted(reading.floor.all(Batch), key=lambda batch: batch.name)
        floor = reading.load_batch(first.id)
        found = figures(floor, first.id, now_us)
        assert found.whole.all_us == 34 * MINUTE_US
        assert found.whole.carried[Outcome.SCRAPPED] == sum(found.whole.carried.values()) == 14 * MINUTE_US
        got = {piece.mark: 0 for piece in floor.pieces(first.id)}
        for row in piece_labour(floor, first.id, now_us):
            got[floor.get(Piece, row.piece_id).mark] += row.us
        assert got == {mark: (14 if mark == "C" else 5) * MINUTE_US for mark in "ABCDE"}
        assert figures(floor, second.id, now_us).whole.all_us == (18 + 12) * MINUTE_US
        profile = max(floor.of_batch(Interval, second.id), key=lambda i: i.start_us)
        assert profile.end_us == START_US + (90 + 70) * MINUTE_US
        assert (profile.start_sure, profile.end_sure) == (Certainty.PRESSED, Certainty.ESTIMATED)
        worked = [i for i in floor.all(Interval) if i.kind is Kind.HANDS_ON]
        assert sum((i.end_us or 0) - i.start_us for i in worked) == 64 * MINUTE_US
        assert sum(floor.labour.values()) == 64 * MINUTE_US
    assert check(path) == []


THREE_BATCHES = """
open shop
press Patterns
press Copy a route
press Stock removal
type Creek paring
press New batch
press 2
press Go
press Whole route
press Glue up
work 30
press Next: Cure
press It ended now
open batches
press New batch
press 4
press Go
press Start: Saw out
work 20
press Next: Profile
work 30
press Stop
open batches
press New batch
press 3
press Go
press Whole route
press Harden
work 9
press Done: A
press Done: B
press Done: C
press Stop
"""


def test_who_comes_in_from_the_cold_is_told_what_to_do_first(tmp_path: Path, qapp: object) -> None:
    """Somebody hardened three blades and went; one batch is half profiled, one cures until tomorrow."""
    path = new_record(tmp_path / "shop.shopclock")
    with at_the_window(path) as hand:
        walk(hand, THREE_BATCHES)
        left_us = hand.clock.at_us
    with at_the_window(path, left_us + 12 * MINUTE_US, boot_id="the next one") as hand:
        assert {"Start: Temper 1", "Seen"} <= set(hand.reach)
        walk(hand, "press Seen\nopen today")
        said = shown(hand)
        work = [words for words in said if words in {"Temper 1", "Profile", "Cure, 26-01", "Saw scales"}]
        assert work == ["Temper 1", "Profile", "Saw scales", "Saw scales", "Cure, 26-01"]
        assert "A–C: Temper 1 by 20:59" in said
        assert any("48 min left" in words and words.startswith("26-03") for words in said)
        hand.press("Temper 1")
        running = {hand.record.floor.get(Step, i.step_id or 0).name: i for i in hand.record.floor.running.values()}
        assert running.keys() == {"Cure", "Temper 1"}
        temper = running["Temper 1"]
        assert (temper.start_us, hand.record.floor.marks(temper.pieces)) == (hand.clock.at_us, ["A", "B", "C"])
        assert not any("Temper 1 within" in words for words in shown(hand))
    with ReadOnlyRecord.open(path) as reading:
        labour = {b.name: figures(reading.floor, b.id, left_us).whole.all_us for b in reading.floor.all(Batch)}
        minutes = {"26-01": 30, "26-02": 50, "26-03": 9}
        assert labour == {name: minute * MINUTE_US for name, minute in minutes.items()}
    assert check(path) == []
