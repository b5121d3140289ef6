"""Who is in hand, waits, and what is not right."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.bench.state import BenchPage, Mode, Verb
from shopclock.shop.values.entities import Tally
from shopclock.shop.values.kinds import Outcome, WorkKind
from shopclock.views.button import Press

if TYPE_CHECKING:
    from tests.screens.bench.workshop import Workshop


def test_the_page_of_pieces_takes_a_piece_out_and_puts_it_in_again(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(shop.in_out("B"), 2)
    assert shop.letters() == "A in, B out, C in"
    shop.press(shop.in_out("B"), 2)
    assert shop.letters() == "A in, B in, C in"


def test_the_last_one_cannot_be_taken_out(shop: Workshop) -> None:
    shop.batch("Paring 95", 2)
    shop.start("Saw out")
    shop.press(shop.in_out("B"), 2)
    state = shop.press(shop.in_out("A"), 2)
    assert shop.letters() == "A in, B out"
    assert state.plate.line == "One piece has to stay in hand."


def test_none_and_then_a_letter_is_that_one_alone(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Saw out")
    shop.press(Verb.NONE, 2)
    assert shop.letters() == "A out, B out, C out, D out"
    assert len(shop.running[0].pieces) == 4
    shop.press(shop.in_out("C"))
    assert shop.letters() == "A out, B out, C in, D out"


def test_all_and_the_others(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Saw out")
    shop.press(shop.in_out("C"), 1)
    shop.press(Verb.OTHERS, 1)
    assert shop.letters() == "A out, B out, C in, D out"
    shop.press(Verb.ALL, 1)
    assert shop.letters() == "A in, B in, C in, D in"
    assert shop.press(Verb.OTHERS, 1).plate.line == "There are no others to be put in."


def test_pieces_can_be_chosen_before_the_start(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.press(Verb.NONE)
    shop.press(shop.letter("C"))
    state = shop.press(shop.letter("D"))
    assert state.plate.big.detail.startswith("2 blades")
    shop.press(state.plate.big.key)
    assert shop.record.floor.marks(shop.running[0].pieces) == ["C", "D"]


def test_a_piece_that_is_through_says_so(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.DONE, 9)
    assert shop.press(shop.letter("A")).plate.line == "A through at 17:03. Press again: not yet."


def test_a_step_that_pieces_in_a_wait_are_needed_for_starts_at_once_and_says_what_was_held(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.press(Press(Verb.START, shop.step("Temper 1").id))
    state = shop.press(Press(Verb.START, shop.step("Finish grind").id), 10)
    assert shop.running_names() == ["Finish grind"]
    assert state.plate.line.endswith("A–C: Temper 1 was on until 18:54.")
    assert shop.dialogs.asked == []
    shop.press(Verb.UNDO)
    assert shop.running_names() == ["Temper 1"]


def test_a_letter_that_waits_asks_whether_it_comes_out_of_it(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.press(shop.letter("A"))
    shop.start("Glue up")
    shop.press(Verb.NONE)
    shop.press(shop.letter("A"))
    shop.press(Verb.NEXT, 20)
    shop.start("Shape handle", after_min=5)
    assert shop.letters() == "A away, B in, C in"
    shop.press(shop.letter("A"), 1, ("no",))
    assert shop.asked() == "A is in Cure until tomorrow 17:14. Take it out?"
    shop.press(shop.letter("A"), 1, ("yes",))
    assert shop.letters() == "A in, B in, C in"
    assert shop.running_names() == ["Shape handle"]


def test_a_wait_shows_until_when_and_then_since_when(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    state = shop.start("Temper 1")
    assert state.top[0].detail == "Temper 1 until 18:54"
    assert state.top[0].detail_role == "straw"
    shop.clock.go(150)
    assert shop.state.top[0].detail == "Temper 1 ended 30 min ago"
    tile = next(t for t in shop.state.side.tiles if t.title == "Out: Temper 1")
    assert tile.aside == "A–C"
    shop.press(tile.key)
    assert shop.running == []
    assert shop.dialogs.asked == []
    assert batch.id == shop.record.floor.open_batches()[0].id


def test_a_load_comes_out_before_its_time_by_one_press_which_says_so(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Temper 1")
    state = shop.press(Press(Verb.OUT, shop.running[0].id), 30)
    assert shop.running == []
    assert shop.dialogs.asked == []
    assert state.plate.line == "A–C came out of Temper 1, which was on until 18:54."


def test_a_glue_up_begins_its_cure_by_itself_and_then_the_batch_waits(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Glue up")
    state = shop.press(Verb.NEXT, 30)
    assert shop.running_names() == ["Cure"]
    assert state.plate.mode is Mode.WAITING
    assert state.plate.big.title == "Cure until tomorrow 17:24"


def test_a_lost_piece_keeps_step_and_reason_and_the_work_goes_on(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.NOT_RIGHT, 5, ("B", "lost", "warped"))
    lost = shop.piece("B")
    assert (lost.outcome, lost.reason, lost.lost_step_id) == (Outcome.SCRAPPED, "warped", shop.step("Grind bevels").id)
    assert shop.letters() == "A in, B lost, C in"
    assert shop.state.plate.pieces.title == "Pieces: 2 of 3"
    shop.press(Verb.BACK)
    assert shop.press(shop.letter("B")).plate.line == "B is lost at Grind bevels: warped."


def test_no_answer_changes_nothing(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    for answers in ((None,), ("B", None), ("B", "lost", None), ("B", "cause", None)):
        shop.press(Verb.NOT_RIGHT, 1, answers)
    assert shop.letters() == "A in, B in, C in"
    assert shop.bottom()[Verb.UNDO].detail == "Start Grind bevels"


@pytest.mark.parametrize(("way", "state"), [("aside", "A in, B aside, C in"), ("second", "A in, B in, C in")])
def test_set_aside_and_second(shop: Workshop, way: str, state: str) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.NOT_RIGHT, 5, ("B", way))
    assert shop.letters() == state
    assert shop.piece("B").second is (way == "second")
    assert shop.piece("B").living


def test_a_piece_set_aside_comes_back_by_its_letter(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Grind bevels")
    shop.press(Verb.NOT_RIGHT, 5, ("B", "aside"))
    shop.press(shop.letter("B"), 5)
    assert shop.letters() == "A in, B in, C in"
    assert not shop.piece("B").set_aside


def test_rework_names_the_step_that_made_it_necessary(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.NEXT, 10)
    again, cause = shop.step("Profile"), shop.step("Saw out")
    shop.press(Verb.NOT_RIGHT, 5, ("B", "cause", str(again.id), str(cause.id)))
    found = next(i for i in shop.running if i.work is WorkKind.REWORK)
    assert (found.step_id, found.cause_step_id) == (again.id, cause.id)
    assert shop.record.floor.marks(found.pieces) == ["B"]


def test_in_rework_of_one_the_letters_of_the_others_say_that_they_are_through_and_mark_nothing(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.NEXT, 10)
    saw = str(shop.step("Saw out").id)
    shop.press(Verb.NOT_RIGHT, 5, ("B", "cause", saw, saw))
    assert shop.letters() == "A done, B in, C done"
    before = len(list(shop.record.floor.all(Tally)))
    shop.press(shop.letter("C"), 5)
    assert len(list(shop.record.floor.all(Tally))) == before
    assert shop.bench.memory.said.startswith("C through at ")
    shop.press(shop.letter("B"), 5)
    assert shop.letters() == "A done, B done, C done"


def test_cut_down_goes_into_another_open_batch(shop: Workshop) -> None:
    one, other = shop.batch("Cook's 180", 3), shop.batch("Paring 95", 3)
    shop.start("Grind bevels", one)
    shop.press(Verb.NOT_RIGHT, 5, ("B", "cut", str(other.id)))
    assert shop.piece("B", one).outcome is Outcome.CUT_DOWN
    assert shop.piece("D", other).from_piece_id == shop.piece("B", one).id


def test_the_whole_route_tells_each_step(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Temper 1")
    state = shop.press(Verb.ROUTE_PAGE)
    assert state.page is BenchPage.ROUTE
    by_name = {tile.title: tile for tile in state.route_page.tiles}
    assert by_name["Harden"].detail == "3 of 3 through  ·  again  ·  A–C out of Temper 1"
    assert by_name["Out: Temper 1"].detail == "until 18:54"
    assert by_name["Out: Temper 1"].verb == Verb.OUT
    assert by_name["Sharpen"].detail == "0 of 3 through  ·  A–C out of Temper 1"
    assert shop.press(Verb.BACK).page is BenchPage.BENCH


def test_starting_from_the_whole_route_goes_back_to_the_bench(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.press(Verb.ROUTE_PAGE)
    state = shop.press(Press(Verb.START, shop.step("Saw scales").id))
    assert state.page is BenchPage.BENCH
    assert state.plate.title == "Saw scales"
