"""What takes the whole screen, in which order, and what each answer does."""

from dataclasses import replace

import pytest

from shopclock.record.check.check import check
from shopclock.screens.alarms.state import AlarmVerb
from shopclock.screens.bench.state import Verb
from shopclock.shop.state.keys import set_key
from shopclock.shop.state.wording import time_text, zone_of
from shopclock.shop.values.entities import Interval, Piece, Step
from shopclock.shop.values.kinds import Certainty
from shopclock.shop.work import pieces
from shopclock.views.button import Press
from tests.screens.alarms import stories
from tests.screens.alarms.stories import Alarmed
from tests.screens.bench.workshop import MINUTE_US, START_US


def titles(shop: Alarmed) -> str:
    state = shop.shown
    return state.title if state is not None else ""


def answers(shop: Alarmed) -> dict[str, str]:
    state = shop.shown
    assert state is not None
    return {button.title: button.detail for button in state.answers}


def times(shop: Alarmed) -> list[str]:
    state = shop.shown
    assert state is not None
    return [button.title for _, button in sorted(state.times, key=lambda pair: pair[0])]


def ended(shop: Alarmed) -> list[tuple[int, str]]:
    """Length in minutes and certainty of the end of all that has ended, in its order."""
    every = sorted((i for i in shop.record.floor.all(Interval) if i.end_us), key=lambda i: i.start_us)
    return [(round(((i.end_us or 0) - i.start_us) / MINUTE_US), str(i.end_sure)) for i in every]


def test_all_is_quiet_while_work_goes_as_usual(shop: Alarmed) -> None:
    batch = shop.batch("Paring 95", 7)
    shop.start("Grind bevels", batch)
    assert shop.tick(20) is None


def test_a_forgotten_stop_asks_in_one_large_sentence_and_stops_nothing(shop: Alarmed) -> None:
    stories.still(shop)
    assert titles(shop) == "Grind bevels since 16:54. Still at it?"
    assert answers(shop) == {
        "Yes, still at it": "",
        "Stopped at 18:44": "when it usually ends",
        "Stopped at 17:24": "the last press",
        "It was another step": "",
    }
    assert times(shop)[:4] == ["17:25", "17:30", "17:35", "17:40"]
    assert shop.running_names() == ["Grind bevels"]


def test_stopped_when_it_usually_ends_is_one_press_estimated_from_the_last_piece_done_and_undone_by_one(
    shop: Alarmed,
) -> None:
    stories.still(shop)
    assert shop.answer(AlarmVerb.STOPPED) is None
    assert ended(shop) == [(30, "pressed"), (80, "estimated")]
    assert shop.record.next_undo is not None
    assert shop.record.next_undo.what == "Stopped at 18:44"
    shop.record.undo()
    assert titles(shop) == "Grind bevels since 16:54. Still at it?"
    assert check(shop.record.path) == []


def test_a_time_is_one_press(shop: Alarmed) -> None:
    stories.still(shop)
    state = shop.shown
    assert state is not None
    key = next(button.key for _, button in state.times if button.title == "17:40")
    shop.alarms.press(key, shop.clock.moment())
    assert shop.shown is None
    assert ended(shop) == [(30, "pressed"), (16, "estimated")]


@pytest.mark.parametrize(
    ("typed", "then"),
    [("18:13", [(30, "pressed"), (49, "estimated")]), ("2015", [(30, "pressed"), (171, "estimated")])],
)
def test_any_other_time_is_typed(shop: Alarmed, typed: str, then: list[tuple[int, str]]) -> None:
    stories.still(shop)
    shop.tick(120)
    assert times(shop)[-1] == "Another time"
    shop.dialogs.answers = [typed]
    assert shop.answer(AlarmVerb.STOPPED_TYPED) is None
    assert ended(shop) == then


@pytest.mark.parametrize("typed", ["25", "16:30", "23:59"])
def test_a_time_that_it_can_not_have_been_is_told_and_asked_for_again(shop: Alarmed, typed: str) -> None:
    stories.still(shop)
    shop.dialogs.answers = [typed]
    assert shop.answer(AlarmVerb.STOPPED_TYPED) is not None
    assert shop.asked().endswith("Nothing was changed.") or "Type it as 19:10" in shop.asked()
    assert shop.running_names() == ["Grind bevels"]


def test_another_step_can_have_begun_at_any_time(shop: Alarmed) -> None:
    stories.which_step(shop)
    shop.answer(AlarmVerb.OTHER_STEP)
    shop.dialogs.answers = ["18:03"]
    assert shop.answer(AlarmVerb.OTHER_TYPED) is None
    assert shop.running_names() == ["Harden"]
    assert time_text(shop.running[0].start_us, zone_of(shop.record.floor)) == "18:03"


def test_still_at_it_asks_again_only_after_another_such_span_and_is_not_what_undo_takes_back(shop: Alarmed) -> None:
    stories.still(shop)
    undo = shop.record.next_undo
    assert shop.answer(AlarmVerb.STILL) is None
    assert shop.record.next_undo == undo
    assert shop.tick(45) is None
    assert shop.tick(6) is not None


def test_another_step_is_asked_for_with_the_next_one_first_then_since_when(shop: Alarmed) -> None:
    stories.which_step(shop)
    assert titles(shop) == "Which step was it, after Grind bevels?"
    assert next(iter(answers(shop))) == "Harden"
    shop.answer(AlarmVerb.BACK)
    assert titles(shop) == "Grind bevels since 16:54. Still at it?"
    shop.answer(AlarmVerb.OTHER)
    shop.answer(AlarmVerb.OTHER_STEP)
    assert titles(shop) == "Harden since when?"
    state = shop.shown
    assert state is not None
    at_us, button = next(pair for pair in state.times if pair[1].title == "18:45")
    shop.alarms.press(button.key, shop.clock.moment())
    assert shop.running_names() == ["Harden"]
    assert shop.running[0].start_us == at_us
    assert shop.running[0].start_sure is Certainty.ESTIMATED
    assert ended(shop) == [(30, "pressed"), (81, "estimated")]


@pytest.mark.parametrize(("key", "running", "through"), [("stop", [], 2), ("next", ["Harden"], 7), ("done", [], 3)])
def test_stop_next_and_done_stay_live_and_answer_it(shop: Alarmed, key: str, running: list[str], through: int) -> None:
    stories.still(shop)
    state = shop.shown
    assert state is not None
    assert {"stop", "next", "done"} == {button.verb for button in state.bottom}
    assert "Was it then?" in (shop.answer(key) or state).title
    assert shop.answer(AlarmVerb.ENDED_SO) is None
    assert shop.running_names() == running
    assert len(shop.record.floor.tallies_of(shop.step("Grind bevels"))) == through


def test_the_keys_of_the_bench_work_here(shop: Alarmed) -> None:
    stories.still(shop)
    shop.record.press("Key", lambda tx: set_key(tx, "stop", "F5"))
    assert shop.alarms.key("F5", shop.clock.moment()) == shop.alarms.key("F6", shop.clock.moment()) == ""
    assert shop.running_names() == []


def test_after_a_power_cut_it_says_when_it_was_last_alive_and_one_press_puts_it_right(shop: Alarmed) -> None:
    stories.power(shop)
    assert titles(shop) == "Grind bevels was running. Last sign of life 17:21, now 17:54."
    assert answers(shop) == {
        "It went on all the time": "",
        "Stopped at 17:21": "the last sign of life",
        "It was another step": "",
    }
    assert times(shop)[0] == "17:25"
    shop.again()
    assert titles(shop) == "Grind bevels was running. Last sign of life 17:21, now 17:54."
    assert shop.answer(AlarmVerb.STOPPED) is None
    assert ended(shop) == [(27, "amended")]
    shop.again()
    assert shop.shown is None


def test_it_went_on_all_the_time_leaves_it_running_as_it_was(shop: Alarmed) -> None:
    stories.power(shop)
    assert shop.answer(AlarmVerb.STILL) is None
    assert shop.running[0].start_us == START_US - 200 * MINUTE_US


def test_after_a_sleep_the_same_is_asked(shop: Alarmed) -> None:
    stories.slept(shop)
    assert titles(shop) == "Finish grind was running. The machine slept from 17:14 to 17:47."
    assert answers(shop)["Stopped at 17:14"] == "when it fell asleep"


def test_a_set_clock_asks_which_is_right_and_the_new_one_moves_what_was_pressed(shop: Alarmed) -> None:
    stories.clock_set(shop)
    assert titles(shop) == "The machine's clock was set: it says 18:00, before it would be 16:59. Which is right?"
    started = next(iter(shop.record.floor.open_batches())).started_us
    assert shop.answer(AlarmVerb.CLOCK_NEW) is None
    assert shop.record.instant() == shop.clock.now_us
    assert next(iter(shop.record.floor.open_batches())).started_us == started + 61 * MINUTE_US
    assert shop.tick(3) is None
    assert check(shop.record.path) == []


def restarted_unanswered(shop: Alarmed, by_min: float = 61) -> int:
    """The clock is set, nobody answers, the machine is started anew; returns when the batch was started."""
    shop.batch("Paring 95", 7)
    shop.start("Saw out")
    shop.tick(5)
    shop.press(Verb.STOP)
    shop.clock.now_us += round(by_min * MINUTE_US)
    shop.tick(2)
    assert "was set" in titles(shop)
    started = next(iter(shop.record.floor.open_batches())).started_us
    shop.clock.restart(shop.clock.now_us + 10 * MINUTE_US)
    shop.again()
    return started


def test_a_set_clock_that_nobody_answered_for_is_asked_about_after_the_restart(shop: Alarmed) -> None:
    started = restarted_unanswered(shop)
    sentence = "Before the restart the machine's clock was set from 16:59 to 18:00. Which was right?"
    assert titles(shop) == sentence
    shop.again()
    assert titles(shop) == sentence
    now_us = shop.record.instant()
    assert shop.answer(AlarmVerb.CLOCK_NEW) is None
    (batch,) = shop.record.floor.open_batches()
    assert batch.started_us == started + 61 * MINUTE_US
    assert ended(shop) == [(5, "pressed")]
    assert shop.record.instant() == now_us
    shop.again()
    assert shop.shown is None
    assert shop.record.undo() == "Clock put right"
    (batch,) = shop.record.floor.open_batches()
    assert batch.started_us == started
    assert titles(shop) == sentence
    assert check(shop.record.path) == []


def test_the_question_says_how_many_stretches_move_since_when_and_offers_all_since_the_machine_started(
    shop: Alarmed,
) -> None:
    shop.batch("Paring 95", 7)
    for _ in range(3):
        shop.start("Saw out")
        shop.tick(5)
        shop.press(Verb.STOP)
    shop.tick(20)
    shop.again()
    shop.start("Saw out")
    shop.tick(4)
    shop.press(Verb.STOP)
    shop.clock.now_us -= 7 * MINUTE_US
    shop.tick(2)
    assert answers(shop) == {
        "17:28": "moves 1 stretch since 17:29",
        "17:28, all": "moves 4 since the machine started",
        "17:35": "nothing moves",
    }
    starts = [interval.start_us for interval in shop.record.floor.all(Interval)]
    assert shop.answer(AlarmVerb.CLOCK_WHOLE) is None
    assert [i.start_us for i in shop.record.floor.all(Interval)] == [us - 7 * MINUTE_US for us in starts]
    shop.record.undo()
    assert [i.start_us for i in shop.record.floor.all(Interval)] == starts
    assert shop.answer(AlarmVerb.CLOCK_NEW) is None
    assert [i.start_us for i in shop.record.floor.all(Interval)] == [*starts[:-1], starts[-1] - 7 * MINUTE_US]
    assert shop.record.instant() == shop.clock.now_us
    assert check(shop.record.path) == []


def test_the_old_time_of_before_the_restart_moves_nothing(shop: Alarmed) -> None:
    started = restarted_unanswered(shop)
    assert shop.answer(AlarmVerb.CLOCK_OLD) is None
    (batch,) = shop.record.floor.open_batches()
    assert batch.started_us == started
    shop.again()
    assert shop.shown is None


def test_what_would_come_to_lie_behind_the_restart_is_not_moved(shop: Alarmed) -> None:
    """The clock was put back again before the machine was started anew: the new time can't have been right."""
    shop.batch("Paring 95", 7)
    shop.start("Saw out")
    shop.tick(5)
    shop.clock.now_us += 61 * MINUTE_US
    shop.tick(2)
    shop.clock.restart(shop.clock.now_us - 50 * MINUTE_US)
    shop.again()
    assert titles(shop).startswith("Before the restart")
    shop.answer(AlarmVerb.CLOCK_NEW)
    assert titles(shop).startswith("Before the restart")
    assert "would not lie between" in shop.asked()
    assert shop.running_names() == ["Saw out"]
    assert shop.running[0].start_us < shop.record.instant()


def test_as_before_moves_nothing_and_is_not_asked_again(shop: Alarmed) -> None:
    stories.clock_set(shop)
    now_us = shop.record.instant()
    assert shop.answer(AlarmVerb.CLOCK_OLD) is None
    assert shop.record.instant() == now_us
    assert shop.tick(3) is None
    shop.again()
    assert shop.shown is None


def test_a_flat_battery_goes_on_guessed_until_the_time_is_told(shop: Alarmed) -> None:
    stories.battery(shop)
    assert titles(shop) == "The machine's clock says Thu 1 Jan 2015. Work goes on from 16:59."
    shop.start("Grind bevels")
    shop.clock.go(10)
    assert shop.running[0].start_sure is Certainty.ESTIMATED
    shop.dialogs.answers = ["2015"]
    assert shop.answer(AlarmVerb.CLOCK_TYPED) is None
    assert shop.record.instant() == START_US + MINUTE_US
    assert shop.running[0].start_us == START_US - 9 * MINUTE_US
    assert shop.running[0].start_sure is Certainty.PRESSED
    shop.press(Verb.STOP, 5)
    assert ended(shop) == [(15, "pressed")]
    assert check(shop.record.path) == []


def test_a_typed_time_that_is_none_says_so_and_changes_nothing(shop: Alarmed) -> None:
    stories.battery(shop)
    shop.dialogs.answers = ["2575"]
    assert shop.answer(AlarmVerb.CLOCK_TYPED) is not None
    assert shop.asked() == "That is no time of day. Type it as 19:10. Nothing was changed."


def test_a_flat_battery_that_was_seen_stays_guessed_and_is_not_told_again(shop: Alarmed) -> None:
    stories.battery(shop)
    assert shop.answer(AlarmVerb.CLOCK_SEEN) is None
    shop.again()
    assert shop.shown is None
    shop.start("Grind bevels")
    assert shop.running[0].start_sure is Certainty.ESTIMATED


def test_a_wait_that_is_over_says_so_then_how_long_ago_on_a_strip_until_its_pieces_are_out(shop: Alarmed) -> None:
    stories.ready(shop)
    assert titles(shop) == "Temper 1 of 26-01 is ready"
    assert shop.alarms.strip() == ""
    assert shop.answer(AlarmVerb.WAIT_SEEN) is None
    shop.tick(13)
    assert shop.alarms.strip() == "Temper 1 of 26-01 ended 14 min ago"
    shop.again()
    assert shop.alarms.strip() == "Temper 1 of 26-01 ended 14 min ago"
    assert shop.shown is None
    wait = next(i for i in shop.running if not i.kind.attended)
    shop.bench.press(Press(Verb.OUT, wait.id), shop.clock.moment())
    assert shop.alarms.strip() == ""


def test_a_wait_that_was_seen_is_the_same_without_one_of_its_pieces(shop: Alarmed) -> None:
    stories.ready(shop)
    shop.answer(AlarmVerb.WAIT_SEEN)
    shop.tick(13)
    wait = next(i for i in shop.running if not i.kind.attended)
    piece = shop.record.floor.get(Piece, wait.pieces[0])
    shop.record.press("Lost", lambda tx: pieces.lose(tx, piece, None, "warped"))
    assert shop.shown is None
    assert shop.alarms.strip() == "Temper 1 of 26-01 ended 14 min ago"


def test_a_wait_that_was_seen_and_lasts_longer_after_all_says_so_when_it_is_over(shop: Alarmed) -> None:
    stories.ready(shop)
    shop.answer(AlarmVerb.WAIT_SEEN)
    wait = next(i for i in shop.running if not i.kind.attended)
    step = shop.record.floor.get(Step, wait.step_id or 0)
    shop.record.press("Longer", lambda tx: tx.change(replace(tx.current(step), wait_us=step.wait_us + 60 * MINUTE_US)))
    assert shop.alarms.strip() == ""
    shop.tick(70)
    assert "Temper 1 of 26-01 is ready" in titles(shop)


def test_a_wait_can_be_taken_out_at_once(shop: Alarmed) -> None:
    stories.ready(shop)
    assert shop.answer(AlarmVerb.WAIT_OUT) is None
    assert shop.running_names() == ["Grind bevels"]


def test_recovery_goes_before_a_wait_and_a_wait_before_still_at_it(shop: Alarmed) -> None:
    stories.ready(shop)
    shop.tick(20)
    shop.clock.restart(shop.clock.now_us + 33 * MINUTE_US)
    shop.again()
    assert "was running" in titles(shop)
    shop.answer(AlarmVerb.STILL)
    assert titles(shop) == "Temper 1 of 26-01 is ready"
    shop.tick(60)
    assert titles(shop) == "Temper 1 of 26-01 is ready"
    shop.answer(AlarmVerb.WAIT_SEEN)
    assert "Still at it" in titles(shop)


def test_a_press_for_an_alarm_that_is_gone_does_nothing(shop: Alarmed) -> None:
    stories.still(shop)
    state = shop.shown
    assert state is not None
    shop.answer(AlarmVerb.STILL)
    before = list(shop.record.floor.all(Interval))
    for button in state.answers:
        shop.alarms.press(button.key, shop.clock.moment())
    assert list(shop.record.floor.all(Interval)) == before
