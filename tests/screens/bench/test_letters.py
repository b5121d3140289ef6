"""Letters that say what is through: out of order, after Stop, taken back; and what each wears."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.state import Mode, Verb
from shopclock.shop.state import keys
from shopclock.shop.values.entities import Interval, Tally

if TYPE_CHECKING:
    from tests.screens.bench.workshop import Workshop


def shared(shop: Workshop) -> dict[str, float]:
    """Minutes of each piece in all that has ended."""
    found: dict[str, float] = {}
    for shares in shop.record.floor.shares.values():
        for piece, us in shares:
            mark = shop.record.floor.marks([piece])[0]
            found[mark] = found.get(mark, 0) + us / 60e6
    return {mark: round(minutes, 2) for mark, minutes in found.items()}


def test_a_letter_marks_its_piece_out_of_order_by_one_press_and_leaves_no_splinter(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Grind bevels")
    for mark, minutes in (("C", 13), ("A", 15), ("B", 16)):
        shop.press(shop.letter(mark), minutes)
    assert shop.letters() == "A done, B done, C done, D in"
    assert shop.bottom()[Verb.DONE].title == "Done: D"
    assert len(list(shop.record.floor.all(Interval))) == 1
    shop.press(Verb.STOP)
    assert shared(shop) == {"A": 15, "B": 16, "C": 13, "D": 0}


def test_each_letter_wears_what_becomes_of_it(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.press(shop.letter("D"))
    assert shop.words() == "A goes in, B goes in, C goes in, D stays"
    shop.start("Grind bevels")
    shop.press(shop.letter("B"), 9)
    shop.press(Verb.NOT_RIGHT, 1, ("C", "lost", "warped"))
    shop.press(Verb.BACK)
    assert shop.words() == "A to go, B through, C lost, D to go"
    assert shop.state.far_line == "A, D to go  ·  B through"


def test_at_a_step_that_is_loaded_letters_choose_who_goes_in(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Harden")
    shop.press(shop.letter("B"), 2)
    assert shop.words() == "A in the oven, B stays out, C in the oven"
    assert not list(shop.record.floor.all(Tally))
    shop.press(shop.letter("B"), 2)
    assert shop.words() == "A in the oven, B in the oven, C in the oven"


def test_pressed_again_a_letter_says_since_when_and_for_some_seconds_takes_it_back(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(shop.letter("C"), 12)
    state = shop.press(shop.letter("C"), 1)
    assert state.plate.line == "C through at 17:06. Press again: not yet."
    assert shop.words() == "A to go, B to go, C not yet"
    shop.press(shop.letter("C"), 0.1)
    assert shop.letters() == "A in, B in, C in"
    assert shop.bottom()[Verb.UNDO].detail == "Not yet: C"
    shop.press(shop.letter("A"), 3)
    shop.press(Verb.STOP)
    assert shared(shop) == {"A": 16.1, "B": 0, "C": 0}


def test_what_a_letter_takes_back_is_offered_for_some_seconds_alone(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(shop.letter("C"), 12)
    shop.press(shop.letter("C"), 1)
    now_us = shop.record.instant()
    assert not shop.bench.is_stale(now_us)
    shop.clock.go(0.17)
    assert shop.bench.is_stale(shop.record.instant())
    assert shop.words() == "A to go, B to go, C through"
    assert shop.press(shop.letter("C")).plate.line == "C through at 17:06. Press again: not yet."
    shop.press(shop.letter("A"), 0.1)
    assert shop.words() == "A through, B to go, C through"


def test_before_a_start_a_piece_that_is_through_can_be_taken_back_too(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(shop.letter("B"), 12)
    shop.press(Verb.STOP, 1)
    shop.press(Verb.SHOP_WORK, 1, ("1",))
    shop.press(Verb.STOP, 5)
    assert shop.state.plate.mode is Mode.READY
    shop.press(shop.letter("B"), 1)
    shop.press(shop.letter("B"), 0.1)
    assert shop.words() == "A goes in, B goes in, C goes in"


def test_after_stop_letters_and_done_mark_what_stop_ended(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.STOP, 30)
    assert shop.bottom()[Verb.DONE].title == "Done: A"
    shop.press(shop.letter("C"), 10)
    assert shop.words() == "A to go, B to go, C through"
    assert shop.bottom()[Verb.THROUGH].title == "All through: A, B"
    assert shared(shop) == {"A": 0, "B": 0, "C": 30}
    shop.press(Verb.DONE, 1)
    assert shop.words() == "A through, B to go, C through"


def test_marked_together_they_share_and_the_plate_says_so(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Grind bevels")
    shop.press(shop.letter("A"), 12)
    assert "shared" not in shop.state.plate.line
    said = []
    for mark, minutes in (("C", 42), ("D", 0.1), ("B", 0.2)):
        said.append(shop.press(shop.letter(mark), minutes).plate.line)
    assert said[1:] == ["C, D: 21.1 each, shared", "B–D: 14.1 each, shared"]
    assert "12.0 a blade so far" not in shop.press(Verb.STOP).plate.line


def test_marked_together_after_stop_each_new_letter_divides_what_stop_ended_anew(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Grind bevels")
    shop.press(Verb.STOP, 42)
    assert shop.press(shop.letter("C"), 30).plate.line != "C: 42.0 each, shared"
    assert shop.press(shop.letter("D"), 3).plate.line == "C, D: 21.0 each, shared"
    assert shop.press(Verb.DONE, 3).plate.line == "A, C, D: 14.0 each, shared"
    assert shared(shop) == {"A": 14, "B": 0, "C": 14, "D": 14}
    shop.press(Verb.CARRY_ON, 5)
    shop.press(shop.letter("B"), 15)
    shop.press(Verb.STOP)
    assert shared(shop) == {"A": 14, "B": 15, "C": 14, "D": 14}


def test_a_piece_lost_under_the_hands_says_its_minutes_and_one_press_says_that_it_was_not(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Grind bevels")
    shop.press(Verb.DONE, 15)
    state = shop.press(Verb.NOT_RIGHT, 14, ("B", "lost", "cracked"))
    assert state.plate.line == "B was in hand, 14.0 min. Was it not? Press B."
    assert shop.words() == "A through, B not in hand, C to go, D to go"
    assert shared(shop) == {"A": 15, "B": 14, "C": 0, "D": 0}
    state = shop.press(shop.letter("B"), 1)
    assert state.plate.line == "B was not in hand: what was worked goes on without it."
    assert shop.words() == "A through, B lost, C to go, D to go"
    assert shop.bottom()[Verb.UNDO].detail == "B was not in hand"
    assert shared(shop) == {"A": 15, "B": 4.67, "C": 4.67, "D": 4.67}
    shop.press(Verb.DONE, 14)
    shop.press(Verb.STOP)
    assert shared(shop) == {"A": 15, "B": 0, "C": 29, "D": 0}


def test_what_a_letter_takes_back_ends_with_an_undo_from_elsewhere(shop: Workshop) -> None:
    """By another maker on the other half, or at another bench: that is no press of this one."""
    shop.batch("Paring 95", 4)
    shop.start("Grind bevels")
    shop.press(Verb.NOT_RIGHT, 14, ("B", "lost", "cracked"))
    assert shop.words() == "A to go, B not in hand, C to go, D to go"
    shop.record.undo(shop.clock.moment())
    assert shop.words() == "A to go, B to go, C to go, D to go"
    assert "B" not in shop.state.plate.line
    shop.press(shop.letter("B"), 1)
    assert shop.words() == "A to go, B through, C to go, D to go"
    shop.press(shop.letter("B"), 0.05)
    assert "B not yet" in shop.words()
    shop.record.undo(shop.clock.moment())
    assert "B to go" in shop.words()
    shop.press(shop.letter("B"))
    assert "B through" in shop.words()


def test_a_piece_set_aside_under_the_hands_offers_the_same_until_the_next_press(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.NOT_RIGHT, 10, ("B", "aside"))
    assert shop.words() == "A to go, B not in hand, C to go"
    shop.clock.go(1.1)
    assert shop.words() == "A to go, B aside, C to go"
    shop.press(Verb.NOT_RIGHT, 3, ("C", "aside"))
    shop.press(Verb.DONE, 0.5)
    assert shop.words() == "A through, B aside, C aside"
    shop.press(shop.letter("B"), 1)
    assert shop.words() == "A through, B to go, C aside"


def test_what_is_lost_in_rounds_has_nothing_to_be_said(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Finish grind")
    state = shop.press(Verb.NOT_RIGHT, 10, ("B", "lost", "dropped"))
    assert "in hand" not in state.plate.line
    assert shop.words() == "A to go, B lost, C to go"


def test_a_letter_never_in_hand_is_through_without_minutes_and_it_is_said(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(shop.in_out("C"))
    assert shop.words() == "A to go, B to go, C out"
    state = shop.press(shop.letter("C"), 10)
    assert state.plate.line == "C is through without minutes: it was not in hand."
    assert shop.words() == "A to go, B to go, C through"
    shop.press(Verb.STOP)
    assert shared(shop) == {"A": 5, "B": 5}


def test_a_sleeve_takes_nothing_and_says_so(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    state = shop.press(Verb.SLEEVE, 3)
    assert state.plate.line == "Several letters at once: a sleeve or a palm. None was taken."
    assert not list(shop.record.floor.all(Tally))


def test_in_rounds_the_plate_says_that_letters_belong_to_the_last_round(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    assert "round" not in shop.start("Grind bevels").plate.line
    assert shop.start("Finish grind", after_min=9).plate.line.endswith("letters in the last round")
    shop.press(shop.letter("B"), 9)
    assert shop.words() == "A to go, B through, C to go"
    shop.press(Verb.STOP, 9)
    assert "round" not in shop.state.plate.line


def test_a_second_is_marked_on_its_letter(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.NOT_RIGHT, 1, ("B", "second"))
    assert shop.words() == "A to go, B to go, 2nd, C to go"
    shop.press(shop.letter("B"), 9)
    assert shop.words() == "A to go, B through, 2nd, C to go"


def test_a_piece_set_aside_is_taken_up_by_its_letter(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Finish grind")
    shop.press(Verb.NOT_RIGHT, 1, ("B", "aside"))
    assert shop.words() == "A to go, B aside, C to go"
    shop.press(shop.letter("B"), 1)
    assert shop.words() == "A to go, B to go, C to go"


def test_a_key_for_done_marks_one_piece_after_stop_too(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.STOP, 30)
    shop.record.press("Key", lambda tx: keys.set_key(tx, "done", "F13"))
    shop.key("F13")
    assert shop.letters() == "A done, B in, C in"
