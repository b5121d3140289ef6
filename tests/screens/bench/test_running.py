"""Start, stop, carry on, next, done: what a press does, and what the Bench shows then."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.screens.bench import texts
from shopclock.screens.bench.state import Mode, Verb
from shopclock.shop.values.entities import Interval, Stage
from shopclock.shop.values.kinds import Certainty, Kind, WorkKind
from shopclock.shop.work import batches, begin, finish
from shopclock.shop.work.piece_progress import through
from shopclock.views.button import Press
from tests.screens.bench.workshop import MINUTE_US
from tests.shop.sound import things

if TYPE_CHECKING:
    from tests.screens.bench.workshop import Workshop


def test_without_an_open_batch_there_is_a_sentence_and_the_way_to_a_first_route_or_to_batches(shop: Workshop) -> None:
    shop.press(shop.state.plate.big.key)
    assert shop.went.pop() == "copy"
    batch = shop.batch("Paring 95", 1)
    shop.record.press("Close", lambda tx: batches.close_batch(tx, batch, {}, ""))
    state = shop.state
    assert state.plate.mode is Mode.EMPTY
    assert state.plate.title == "No batch is open"
    assert state.side is None
    shop.press(state.plate.big.key)
    assert shop.went == ["batches"]


def test_a_new_batch_offers_its_first_step_as_the_one_thing_to_press(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    big = shop.state.plate.big
    assert (big.title, big.detail) == ("Start: Saw out", "7 blades  ·  about 9 min a blade")
    shop.press(big.key)
    assert shop.running_names() == ["Saw out"]
    assert shop.state.plate.role == "dye"


def test_the_clock_counts_from_the_moment_the_finger_came_down(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 7)
    down = shop.clock.moment()
    shop.clock.go(0.02)
    shop.bench.press(Press(Verb.START, shop.step("Saw out", batch).id), down)
    assert shop.running[0].start_us == down.wall_us
    shop.clock.go(47.2)
    assert shop.state.plate.mode is Mode.RUNNING
    assert shop.bench.clock(down.wall_us + 2832 * 1_000_000) == "0:47:12"


def test_the_clock_goes_on_through_a_split_and_starts_anew_after_a_stop(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Saw out")
    shop.press(shop.letter("C"), 10)
    shop.clock.go(2)
    assert shop.clock_shown() == "0:12:00"
    shop.press(Verb.STOP)
    shop.press(Verb.CARRY_ON, 5)
    shop.clock.go(1)
    assert shop.clock_shown() == "0:01:00"


def test_next_takes_the_pieces_in_hand_to_the_following_step(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 7)
    shop.start("Saw out")
    assert shop.bottom()[Verb.NEXT].title == "Next: Profile"
    shop.press(Verb.NEXT, 30)
    assert shop.running_names() == ["Profile"]
    assert len(through(shop.record.floor, batch.id)[shop.step("Saw out").id]) == 7


def test_done_names_the_piece_and_marks_it(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    assert shop.bottom()[Verb.DONE].title == "Done: A"
    shop.press(Verb.DONE, 9)
    assert shop.letters() == "A done, B in, C in"
    assert shop.bottom()[Verb.DONE].title == "Done: B"
    shop.press(Verb.DONE, 9)
    shop.press(Verb.DONE, 9)
    assert not shop.bottom()[Verb.DONE].enabled


def test_in_a_stage_done_in_rounds_there_is_no_done(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Finish grind")
    assert "done" not in shop.bottom()
    assert "through" not in shop.bottom()


def test_a_stopped_stage_stands_dark_and_carries_on_as_it_was(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Grind bevels")
    jig = next(pick for pick in shop.state.plate.picks if pick.title == "jig")
    shop.press(jig.key, 1)
    shop.press(shop.in_out("C"), 1)
    shop.press(Verb.STOP, 10)
    plate = shop.state.plate
    assert (plate.mode, plate.role, plate.title) == (Mode.STOPPED, "dark", "Stopped: Grind bevels")
    shop.clock.go(0.1)
    assert shop.bottom()[Verb.CARRY_ON].title == "Carry on: Grind bevels"
    shop.press(Verb.CARRY_ON, 600)
    assert shop.letters() == "A in, B in, C out, D in, E in, F in, G in"
    assert next(pick for pick in shop.state.plate.picks if pick.checked).title == "jig"


def test_stop_does_not_make_through_but_next_and_all_through_do_so_later(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 4)
    step = shop.step("Saw out")
    shop.start("Saw out")
    shop.press(Verb.STOP, 10)
    assert not through(shop.record.floor, batch.id)[step.id]
    shop.press(shop.letter("D"))
    assert shop.record.floor.marks(through(shop.record.floor, batch.id)[step.id]) == ["D"]
    assert shop.bottom()[Verb.THROUGH].title == "All through: A–C"
    shop.press(Verb.THROUGH, 5)
    assert shop.record.floor.marks(through(shop.record.floor, batch.id)[step.id]) == ["A", "B", "C", "D"]
    assert shop.running == []


def test_next_after_a_stop_starts_the_following_step(shop: Workshop) -> None:
    shop.batch("Paring 95", 4)
    shop.start("Saw out")
    shop.press(Verb.STOP, 10)
    shop.press(Verb.NEXT, 5)
    assert shop.running_names() == ["Profile"]


def test_stop_says_what_is_still_on_and_until_when(shop: Workshop) -> None:
    cooks = shop.batch("Cook's 180", 4, "Kitchen knife")
    shop.batch("Paring 95", 7)
    shop.start("Temper 1", cooks)
    shop.start("Saw out", shop.record.floor.open_batches()[1], 5)
    state = shop.press(Verb.STOP, 10)
    assert state.plate.line == "Temper 1 of 26-01 is on until 18:54 (oven)."
    assert state.plate.urgent
    assert not shop.press(Verb.BACK).plate.urgent


def test_what_is_over_is_said_to_be_ready_or_to_have_ended(shop: Workshop) -> None:
    cooks = shop.batch("Cook's 180", 4, "Kitchen knife")
    shop.start("Temper 1", cooks)
    (wait,) = shop.running
    said = []
    for minutes in (60, 100, 1400):
        shop.clock.go(minutes)
        said.append(texts.on_text(shop.record.floor, wait, shop.record.instant()))
    assert said == [
        "Temper 1 of 26-01 is on until 18:54",
        "Temper 1 of 26-01 ended 40 min ago",
        "Temper 1 of 26-01 is ready since yesterday 18:54",
    ]


def test_a_batch_says_what_most_of_it_is_ready_for_before_what_the_fewer_wait_for(shop: Workshop) -> None:
    """One of three tempers: the other two can be put in; of two that temper and one that is ready the wait is said."""
    shop.batch("Paring 95", 3)
    harden, temper = shop.step("Harden"), shop.step("Temper 1")
    shop.record.press("All", lambda tx: finish.all_through(tx, harden, [shop.piece(mark).id for mark in "ABC"]))
    for mark, said in (("A", "Temper 1  ·  2 blades"), ("B", "Temper 1 until 18:54")):
        shop.record.press("Temper", lambda tx, mark=mark: begin.begin(tx, temper, (shop.piece(mark).id,)))
        shop.clock.go(1)
        assert shop.state.top[0].detail == said


def test_a_hands_on_step_stops_the_last_and_both_at_once_does_not(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Saw out")
    shop.start("Saw scales", after_min=5)
    assert shop.running_names() == ["Saw scales"]
    shop.press(Verb.ROUTE_PAGE, 5)
    assert shop.press(Verb.BOTH).route_page.both.checked
    shop.press(Press(Verb.START, shop.step("Profile").id))
    assert shop.running_names() == ["Saw scales", "Profile"]
    assert all(i.together for i in shop.running)


def test_what_runs_beside_is_brought_to_the_plate_by_its_tile(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Harden")
    shop.start("Saw scales", after_min=3)
    state = shop.state
    assert state.plate.title == "Saw scales"
    tile = state.side.tiles[0]
    assert (tile.title, tile.detail) == ("Harden", "stay by it, since 16:54")
    state = shop.press(tile.key)
    assert (state.plate.title, state.plate.role) == ("Harden", "straw")
    shop.press(Verb.STOP, 2)
    assert shop.running_names() == ["Saw scales"]


def test_another_batch_in_sight_leaves_running_what_runs(shop: Workshop) -> None:
    one, other = shop.batch("Paring 95", 7), shop.batch("Oyster", 8)
    shop.start("Saw out", one)
    state = shop.press(Press(Verb.BATCH, other.id), 3)
    assert state.plate.title == "Saw out"
    assert state.plate.line.startswith("26-01")
    assert state.side.heading.endswith("26-02")
    assert [(b.detail, b.edge, b.checked) for b in state.top[:2]] == [
        ("Saw out  ·  7 of 7", "dye_text", False),
        ("Saw out  ·  8 blades", "", True),
    ]
    shop.start("Profile", other)
    assert shop.record.floor.get(Interval, shop.running[0].id).batch_id == other.id
    assert len(shop.running) == 1


def test_carry_on_of_another_batch_says_which(shop: Workshop) -> None:
    one, other = shop.batch("Paring 95", 7), shop.batch("Oyster", 8)
    shop.start("Saw out", one)
    shop.press(Verb.STOP, 3)
    state = shop.press(Press(Verb.BATCH, other.id), 0.1)
    assert state.plate.mode is Mode.READY
    carry_on = shop.bottom()[Verb.CARRY_ON]
    assert (carry_on.title, carry_on.detail) == ("Carry on: Saw out", "26-01")
    assert shop.press(Verb.CARRY_ON, 1).plate.mode is Mode.RUNNING


def test_shop_work_asks_which_and_stops_what_runs_by_hand(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Saw out")
    sweeping = next(s for s in shop.record.floor.all(Stage) if s.name == "Sweeping")
    state = shop.press(Verb.SHOP_WORK, 5, (str(sweeping.id),))
    assert (state.plate.title, state.plate.letters) == ("Sweeping", ())
    assert shop.running_names() == []
    assert not shop.bottom()[Verb.NEXT].enabled
    state = shop.press(Verb.STOP, 10)
    assert state.plate.mode is Mode.READY
    shop.clock.go(0.1)
    assert shop.bottom()[Verb.CARRY_ON].title == "Carry on: Sweeping"


def test_set_up_is_said_in_large_and_ends_at_now_running_or_the_first_done(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Saw out")
    state = shop.press(Verb.SET_UP, 1)
    assert state.plate.title == "Set-up"
    assert state.plate.line.startswith("Saw out")
    assert "Now running" in [tool.title for tool in state.plate.tools]
    shop.press(Verb.SET_UP, 4)
    assert [i.work for i in shop.running] == [WorkKind.RUN]
    shop.press(Verb.SET_UP, 1)
    shop.press(Verb.DONE, 4)
    assert [i.work for i in shop.running] == [WorkKind.RUN]


def test_a_method_is_chosen_before_the_start_or_while_it_runs(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    hacksaw = shop.state.plate.picks[1]
    assert not hacksaw.checked
    state = shop.press(hacksaw.key)
    assert state.plate.picks[1].checked
    state = shop.press(state.plate.big.key)
    assert state.plate.picks[1].checked
    state = shop.press(state.plate.picks[0].key, 2)
    assert state.plate.picks[0].checked


def test_an_order_rule_warns_in_one_line_and_the_work_goes_on(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    state = shop.start("Harden")
    assert state.plate.line == "A–C: Drill holes should come before Harden."
    assert state.plate.role == "straw"
    assert shop.dialogs.asked == []


def test_a_step_that_all_are_through_starts_again_as_rework_and_says_so(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.NEXT, 10)
    state = shop.press(Press(Verb.START, shop.step("Saw out").id), 1)
    assert [(i.work, i.cause_step_id) for i in shop.running] == [(WorkKind.REWORK, None)]
    assert state.plate.title == "Rework"
    assert shop.bottom()[Verb.UNDO].detail == "Rework Saw out"


def test_for_three_seconds_after_stop_its_place_says_stopped_and_takes_nothing(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.STOP, 5)
    shop.clock.go(2.9 / 60)
    first = shop.state.bottom[0]
    assert (first.title, first.enabled) == ("Stopped", False)
    shop.press(Verb.CARRY_ON)
    assert shop.running == []
    shop.clock.go(0.2 / 60)
    assert shop.bench.is_stale(shop.record.instant())
    assert shop.bottom()[Verb.CARRY_ON].enabled
    shop.press(Verb.CARRY_ON)
    assert shop.running_names() == ["Saw out"]


def test_a_second_press_on_stop_stops_no_watch_and_what_is_begun_since_can_be_stopped(shop: Workshop) -> None:
    """Profile by hand while three are in the oven, stayed by."""
    batch = shop.batch("Paring 95", 8)
    shop.start("Profile")
    shop.press(Press(Verb.START, shop.step("Harden").id), 4)
    assert shop.running_names() == ["Profile", "Harden"]
    shop.press(Verb.STOP, 1)
    first = shop.state.bottom[0]
    assert (first.title, first.enabled) == ("Stopped", False)
    shop.press(Verb.STOP, 2 / 60)
    assert shop.running_names() == ["Harden"]
    shop.start("Saw scales", batch)
    assert shop.state.bottom[0].title == "Stop"
    shop.press(Verb.UNDO)
    shop.press(Verb.UNDO)
    assert shop.running_names() == ["Profile", "Harden"]
    assert shop.state.bottom[0].title == "Stop"
    shop.press(Verb.STOP, 5 / 60)
    shop.press(Verb.STOP, 5 / 60)
    assert shop.running_names() == []


def test_stop_says_the_oven_that_a_load_is_in_and_not_the_one_that_its_step_has(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 5)
    other = shop.batch("Oyster", 2)
    shop.start("Temper 1", batch)
    shop.start("Temper 1", other)
    shop.press(Verb.OTHER_TOOL)
    shop.press(Press(Verb.OUT, shop.running[0].id))
    shop.start("Saw scales", other)
    shop.press(Verb.STOP, 3)
    assert "(oven 2)" in shop.state.plate.line


def test_undo_names_what_it_takes_back(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.DONE, 9)
    assert shop.bottom()[Verb.UNDO].detail == "Done: A"
    shop.press(Verb.UNDO, 1)
    assert shop.letters() == "A in, B in, C in"
    assert shop.bottom()[Verb.UNDO].detail == "Start Saw out"


def test_undo_of_an_old_stop_asks_before_the_clock_runs_again(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.STOP, 9)
    shop.press(Verb.UNDO, 6, ("leave",))
    assert shop.running == []
    shop.press(Verb.UNDO, 0, ("undo",))
    assert shop.running_names() == ["Saw out"]


@pytest.mark.parametrize(("minutes", "start_before"), [("since:5", 5), ("since:15", 15), ("since:stop", 20)])
def test_soon_after_a_start_it_can_be_moved_back(shop: Workshop, minutes: str, start_before: int) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.STOP, 30)
    shop.start("Profile", after_min=20)
    now_us = shop.clock.now_us
    shop.press(Verb.ADJUST, 0, (minutes,))
    assert (now_us - shop.running[0].start_us) / MINUTE_US == start_before
    assert shop.running[0].start_sure is Certainty.AMENDED


def test_only_what_makes_sense_is_offered_to_adjust(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.STOP, 6)
    shop.start("Profile", after_min=3)
    shop.press(Verb.ADJUST, 0, (None,))
    assert [key for key in shop.offered() if key.startswith("since")] == ["since:5", "since:stop"]
    assert not [key for key in shop.offered() if key.startswith("off")]
    shop.press(Verb.ADJUST, 16, (None,))
    assert [key for key in shop.offered() if key.startswith("since")] == []
    assert [key for key in shop.offered() if key.startswith("off")] == ["off:5", "off:10", "off:15"]


def test_an_interruption_is_taken_off_what_runs_or_was_stopped(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.ADJUST, 30, ("off:10",))
    assert shop.clock_shown() == "0:20:00"
    shop.press(Verb.STOP, 10)
    shop.press(Verb.ADJUST, 0, ("off:5",))
    assert shop.clock_shown() == "0:25:00"


def test_the_caution_stands_on_the_first_start_of_the_day_alone(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    state = shop.start("Saw out")
    assert state.plate.caution == "Eye protection on; fingers clear of the saw blade."
    shop.press(Verb.STOP, 5)
    assert shop.press(Verb.CARRY_ON, 5).plate.caution == ""
    shop.press(Verb.STOP, 5)
    assert shop.press(Verb.CARRY_ON, 24 * 60).plate.caution != ""


def test_the_screen_is_kept_awake_for_what_is_attended_and_not_for_a_cure(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    assert not shop.bench.keep_awake
    shop.start("Glue up")
    assert shop.bench.keep_awake
    shop.press(Verb.NEXT, 30)
    assert [i.kind for i in shop.running] == [Kind.WAIT]
    assert not shop.bench.keep_awake


def test_two_presses_lead_to_amending_the_times_of_this_day(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.ADJUST, 0, ("amend",))
    assert shop.went == ["amend"]


def test_put_back_names_what_undo_took_and_stands_until_something_else_is_pressed(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.press(Verb.DONE, 9)
    assert not shop.bottom()[Verb.PUT_BACK].enabled
    shop.press(Verb.UNDO, 1)
    assert (shop.bottom()[Verb.PUT_BACK].title, shop.bottom()[Verb.PUT_BACK].detail) == ("Put back", "Done: A")
    shop.press(Verb.ROUTE_PAGE)
    shop.press(Verb.BACK)
    shop.press(Verb.PUT_BACK, 1)
    assert shop.letters() == "A done, B in, C in"
    shop.press(Verb.UNDO)
    shop.press(shop.letter("B"), 1)
    assert not shop.bottom()[Verb.PUT_BACK].enabled


def test_thirty_undos_and_all_of_them_back(shop: Workshop) -> None:
    shop.batch("Paring 95", 7)
    shop.start("Saw out")
    for _ in range(4):
        for _ in range(6):
            shop.press(Verb.DONE, 3)
        shop.press(Verb.NEXT, 3)
        shop.press(Verb.SET_UP, 1)
    floor = shop.record.floor
    seen = [(floor.marks(i.pieces), i.work, i.start_us) for i in shop.running], things(floor)
    for _ in range(30):
        shop.press(Verb.UNDO, 0.1, ("undo",))
    assert shop.running_names() == ["Saw out"]
    for _ in range(30):
        shop.press(Verb.PUT_BACK, 0.1)
    assert ([(floor.marks(i.pieces), i.work, i.start_us) for i in shop.running], things(floor)) == seen
    assert check(shop.record.path) == []


def test_undo_of_a_batch_asks_before_it_goes(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 3)
    shop.press(Verb.UNDO, 1, ("leave",))
    assert shop.asked() == "Take back Batch"
    assert shop.record.floor.open_batches() == (batch,)
    shop.press(Verb.UNDO, 1, ("undo",))
    assert shop.record.floor.open_batches() == ()
    shop.press(Verb.PUT_BACK, 1)
    assert shop.record.floor.open_batches() == (batch,)
