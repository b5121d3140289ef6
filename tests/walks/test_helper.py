"""A helper for an afternoon: a second pair of hands at one bench, on half of it, and home again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from shopclock.record.check.check import check
from shopclock.screens.bench.everywhere import Everywhere
from shopclock.screens.bench.sides import BenchSides
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.state import keys, settings
from shopclock.shop.values.entities import Interval, Maker, Piece, Step, Tally
from shopclock.shop.values.kinds import MarkedBy
from shopclock.widgets.press_button import PressButton
from tests.walks.walk import at_the_window, lines, new_record, walk

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from shopclock.shop.figures.piece_labour import PieceLabour
    from shopclock.tour.window_hand import WindowHand

BATCH = """
open shop
press Patterns
press Copy a route
seek Stock removal, carbon steel
type Creek paring
press New batch
press 4
press Go
press Start: Saw out
work 20
"""
COMES = """
open shop
press Makers
press Add a maker
type Ann
type Sam
open bench
"""
MINUTE_US = 60_000_000


@pytest.fixture
def hand(tmp_path: Path, qapp: object) -> Iterator[WindowHand]:
    with at_the_window(new_record(tmp_path / "shop.shopclock")) as found:
        walk(found, BATCH)
        yield found


def presses(hand: WindowHand, story: str) -> int:
    """Walk a story; returns how many presses it took."""
    walk(hand, story)
    return sum(line.startswith(("press ", "left ", "right ", "seek ", "open ")) for line in lines(story))


def at_work(hand: WindowHand) -> dict[str, str]:
    """What is in whose hands: Ann Saw out, with whom."""
    floor = hand.record.floor
    found = sorted(floor.running.values(), key=lambda i: i.maker_id)
    return {
        f"{floor.get(Maker, i.maker_id).name} {floor.get(Step, i.step_id or 0).name}": "".join(floor.marks(i.pieces))
        for i in found
        if i.kind.attended
    }


def sides(hand: WindowHand) -> int:
    return len(hand.frame.findChildren(BenchSides)[0].shown)


def test_for_one_maker_nothing_of_it_is_shown(hand: WindowHand) -> None:
    assert sides(hand) == 1
    words = {b.state.title for b in hand.frame.findChildren(PressButton)} | {
        b.state.detail for b in hand.frame.findChildren(PressButton)
    }
    assert "who is here" not in words
    walk(hand, "open today")
    assert "starts it" not in {b.state.detail for b in hand.frame.findChildren(PressButton)}


def test_a_helper_comes_takes_two_blades_and_goes_home(hand: WindowHand) -> None:
    assert presses(hand, COMES) == 4  # and two names
    assert sides(hand) == 2
    assert at_work(hand) == {"Ann Saw out": "ABCD"}
    assert (
        presses(
            hand,
            "right Whole route\nright Saw out\nright Take some\nright C\nright D\nright Back\nright Start: Saw out",
        )
        == 7
    )
    assert at_work(hand) == {"Ann Saw out": "AB", "Sam Saw out": "CD"}
    walk(hand, "work 9")
    assert presses(hand, "left Done: A\nright Done: C") == 2
    walk(hand, "work 6\nleft Next: Profile")
    assert at_work(hand) == {"Ann Profile": "ABC", "Sam Saw out": "D"}  # C was through: it comes along
    walk(hand, "work 4")
    assert presses(hand, "right Sam\npress Sam goes") == 2
    assert sides(hand) == 1
    assert at_work(hand) == {"Ann Profile": "ABC"}
    walk(hand, "work 1\npress Stop")
    floor = hand.record.floor
    got = {maker.name: 0 for maker in floor.all(Maker)}
    for interval in floor.all(Interval):
        got[floor.get(Maker, interval.maker_id).name] += floor.labour[interval.id]
    assert got == {"Ann": (20 + 9 + 6 + 4 + 1) * MINUTE_US, "Sam": (9 + 6 + 4) * MINUTE_US}
    assert check(hand.record.path) == []


def test_where_letters_have_no_room_c_before_a_is_three_presses(hand: WindowHand) -> None:
    walk(hand, COMES + "work 0.1")
    assert "Pieces: 4 of 4" in hand.reach, "they have none on a half of the tablet"
    assert presses(hand, "left Pieces: 4 of 4\nleft C\nleft Back") == 3
    floor = hand.record.floor
    assert [floor.get(Piece, tally.piece_id).mark for tally in floor.all(Tally)] == ["C"]
    assert at_work(hand) == {"Ann Saw out": "ABCD"}
    walk(hand, "left Pieces: 4 of 4\nleft In hand\nleft B\nleft Back")
    assert at_work(hand) == {"Ann Saw out": "ACD"}
    assert len(list(floor.all(Tally))) == 1


HALF_MADE = """
open batches
press New batch
press 3
press Where do they stand
press Piece by piece
press B
press Grind bevels
press C
press Grind bevels
press Back
press Back
press Go
"""


def test_a_half_made_batch_is_taken_in_and_two_go_on_with_it_where_its_pieces_stand(hand: WindowHand) -> None:
    walk(hand, COMES)
    assert presses(hand, HALF_MADE) == 12
    assert presses(hand, "left Whole route\nleft Saw out\nright 26-02\nright Start: Grind bevels") == 4
    assert at_work(hand) == {"Ann Saw out": "A", "Sam Grind bevels": "BC"}
    walk(hand, "work 9")
    assert presses(hand, "left Next: Profile\nright Done: B") == 2
    walk(hand, "work 6\nright Done: C\nleft Stop")
    assert at_work(hand) == {"Sam Grind bevels": "BC"}
    walk(hand, "right Stop\nwork 0.1")
    floor = hand.record.floor
    batch = floor.open_batches()[-1]
    got = {(floor.get(Piece, r.piece_id).mark, floor.get(Step, r.step_id).name): 0 for r in rows(hand, batch.id)}
    for row in rows(hand, batch.id):
        got[floor.get(Piece, row.piece_id).mark, floor.get(Step, row.step_id).name] += row.us // MINUTE_US
    assert got == {("A", "Saw out"): 9, ("A", "Profile"): 6, ("B", "Grind bevels"): 9, ("C", "Grind bevels"): 6}
    marks = {(floor.get(Step, t.step_id).name, floor.get(Piece, t.piece_id).mark): t.how for t in floor.all(Tally)}
    before = {mark for mark, how in marks.items() if how is MarkedBy.BEFORE}
    assert before == {(step, mark) for step in ("Saw out", "Profile", "Drill holes") for mark in "BC"}
    assert figures(floor, batch.id, hand.clock.at_us).at_least
    assert check(hand.record.path) == []


def rows(hand: WindowHand, batch_id: int) -> list[PieceLabour]:
    """Minutes of each piece of a batch at each step, as they came."""
    return list(piece_labour(hand.record.floor, batch_id, hand.clock.at_us))


def test_undo_brings_a_helper_back_with_what_was_in_hand(hand: WindowHand) -> None:
    walk(hand, COMES + "right Start: Saw scales\nwork 3\nright Sam\npress Sam goes\nright Undo")
    assert sides(hand) == 2
    assert at_work(hand) == {"Ann Saw out": "ABCD", "Sam Saw scales": "ABCD"}


def test_undo_says_whose_press_it_takes_back(hand: WindowHand) -> None:
    walk(hand, COMES + "right Start: Saw scales")
    assert [
        b.state.detail for b in hand.frame.findChildren(PressButton) if b.isVisible() and b.state.title == "Undo"
    ] == ["Start Saw scales, Sam", "Start Saw scales, Sam"]


def test_the_next_time_one_press_on_the_name_and_one_on_the_helper_is_all(hand: WindowHand) -> None:
    walk(hand, COMES + "right Sam\npress Sam goes\npress Stop\nwork 600")
    assert presses(hand, "press Ann\npress Sam too") == 2
    assert sides(hand) == 2


def test_away_from_the_bench_each_has_a_stop_and_from_afar_each_a_half(hand: WindowHand) -> None:
    walk(hand, COMES + "right Start: Saw scales\nopen batches\nwait 1")
    assert hand.frame.header.running == "Saw out  0:21:00  Saw scales  0:01:00"
    stops = [b for b in hand.frame.header.findChildren(PressButton) if b.isVisible() and b.state.title == "Stop"]
    assert [stop.state.detail for stop in stops] == ["Ann", "Sam"]
    hand.wait("3")
    far = hand.frame.findChild(Everywhere).far
    assert [view.clock.text for view in far] == ["0:24:00", "0:04:00"]
    assert far[0].geometry().right() < far[1].geometry().left()
    walk(hand, "right Stop")
    assert at_work(hand) == {"Ann Saw out": "ABCD"}


def header_stops(hand: WindowHand) -> list[PressButton]:
    """Each Stop in the header that a finger can reach."""
    found = hand.frame.header.findChildren(PressButton)
    return [b for b in found if b.state.title == "Stop" and hand._in_sight(b)]


@pytest.mark.parametrize("size", ["hands", "gloves"])
def test_what_one_is_asked_covers_no_clock_of_the_other(hand: WindowHand, size: str) -> None:
    hand.record.press("Size", lambda tx: settings.set_value(tx, settings.SIZE, size))
    walk(hand, COMES + "right Start: Saw scales\nright Not right")
    assert "Today" not in hand.reach, "what is asked has to be answered first"
    anns, sams = header_stops(hand)
    assert [stop.state.detail for stop in (anns, sams)] == ["Ann", "Sam"]
    place, answer = sams.geometry(), hand._find("A")
    assert answer.mapTo(hand.frame, answer.rect().topLeft()).y() > anns.geometry().bottom()
    QTest.mouseClick(anns, Qt.MouseButton.LeftButton)
    assert at_work(hand) == {"Sam Saw scales": "ABCD"}
    hand.wait("0.1")
    assert header_stops(hand) == [sams]
    assert sams.geometry() == place, "it never comes to where the other's was"
    walk(hand, "press Back")
    assert "Today" in hand.reach
    assert header_stops(hand) == []


def test_an_alarm_of_one_covers_no_clock_of_the_other(hand: WindowHand) -> None:
    walk(hand, COMES + "work 3\nright Start: Saw scales\nwait 6")
    assert "Yes, still at it" in hand.reach
    _, sams = header_stops(hand)
    QTest.mouseClick(sams, Qt.MouseButton.LeftButton)
    assert at_work(hand) == {"Ann Saw out": "ABCD"}
    hand.wait("0.1")
    walk(hand, "press Yes, still at it")
    assert "Today" in hand.reach


def test_on_today_the_name_says_whose_hands_start_it(hand: WindowHand) -> None:
    walk(hand, COMES + "left Stop\nwork 0.1\nopen today")
    before = "Ann" if "Ann" in hand.reach else "Sam"
    assert presses(hand, f"press {before}") == 1
    walk(hand, "seek Saw scales")
    other = {"Ann": "Sam", "Sam": "Ann"}[before]
    assert at_work(hand) == {f"{other} Saw scales": "ABCD"}


def test_the_program_opens_again_on_both_halves(tmp_path: Path, qapp: object) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    with at_the_window(path) as hand:
        walk(hand, BATCH + COMES + "right Start: Saw scales\nwork 2")
        at_us = hand.clock.moment().wall_us
    with at_the_window(path, at_us, boot_id="tour") as hand:
        assert sides(hand) == 2
        assert at_work(hand) == {"Ann Saw out": "ABCD", "Sam Saw scales": "ABCD"}


def test_a_pedal_for_the_right_half_is_the_helpers(hand: WindowHand) -> None:
    walk(hand, COMES + "right Start: Saw scales")
    for action, key in (("stop", "F13"), ("right stop", "F14")):
        hand.record.press("Key", lambda tx, a=action, k=key: keys.set_key(tx, a, k))
    hand.frame.activateWindow()
    QTest.keyClick(hand.frame, Qt.Key.Key_F14)
    assert at_work(hand) == {"Ann Saw out": "ABCD"}
    QTest.keyClick(hand.frame, Qt.Key.Key_F13)
    assert at_work(hand) == {}
