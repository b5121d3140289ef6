"""What spoils comes before everything, again at 15 and 5 min and when it has run out, until it is in or lost."""

import pytest

from shopclock.record.check.check import check
from shopclock.screens.alarms.state import AlarmVerb
from shopclock.screens.bench.state import Verb
from shopclock.shop.values.entities import RuleBroken, Step
from tests.screens.alarms import stories
from tests.screens.alarms.stories import Alarmed


def title(shop: Alarmed) -> str:
    return shop.shown.title if shop.shown is not None else ""


def figure(shop: Alarmed) -> str:
    return shop.shown.figure if shop.shown is not None else ""


def broken_at(shop: Alarmed) -> dict[str, list[str]]:
    """The steps that were started against a rule, and with which pieces."""
    floor = shop.record.floor
    return {floor.get(Step, b.step_id).name: floor.marks(b.pieces) for b in floor.all(RuleBroken)}


def stopped(shop: Alarmed, pieces: int = 3) -> None:
    stories.hardening(shop, pieces)
    shop.press(Verb.STOP)


def test_what_is_hardened_and_not_tempered_is_said_on_the_whole_screen_with_the_time_left(shop: Alarmed) -> None:
    stopped(shop)
    assert title(shop) == "A–C: Harden done, Temper 1 not begun."
    assert shop.shown is not None
    assert shop.shown.figure == "54 min left"
    assert shop.shown.role == "red"
    assert shop.shown.line == "26-01  Paring 95  ·  Harden 16:57, Temper 1 by 17:57"
    assert [button.title for button in shop.shown.answers] == ["Start: Temper 1", "Seen"]


def test_while_it_is_still_worked_it_goes_to_the_strip_alone(shop: Alarmed) -> None:
    stories.hardening(shop)
    assert title(shop) == ""
    assert shop.alarms.strip() == "A–C: Temper 1 within 54 min"


@pytest.mark.parametrize("worked", [True, False])
def test_once_seen_it_comes_up_again_at_15_and_5_min_and_when_it_has_run_out(shop: Alarmed, worked: bool) -> None:
    stories.hardening(shop)
    if not worked:
        shop.press(Verb.STOP)
        shop.answer(AlarmVerb.WITHIN_SEEN)
    came = []
    for minute in range(7, 90):
        if (state := shop.tick(1)) is not None and state.about.startswith("within"):
            came.append((60 - minute, state.figure))
            shop.answer(AlarmVerb.WITHIN_SEEN)
        elif state is not None:
            shop.answer(AlarmVerb.STILL)
    assert came == [(15, "15 min left"), (5, "5 min left"), (0, "0 min left")]
    assert shop.alarms.strip() == "A–C: Temper 1 29 min late"


def test_after_a_restart_it_comes_up_again_though_it_was_seen(shop: Alarmed) -> None:
    stopped(shop)
    shop.answer(AlarmVerb.WITHIN_SEEN)
    assert shop.tick(10) is None
    shop.again()
    assert (title(shop), figure(shop)) == ("A–C: Harden done, Temper 1 not begun.", "44 min left")


def test_pieces_that_come_to_it_later_bring_it_up_again(shop: Alarmed) -> None:
    stopped(shop)
    shop.answer(AlarmVerb.WITHIN_SEEN)
    shop.press(Verb.CARRY_ON, 1)
    shop.press(Verb.DONE, 3)
    assert title(shop) == ""
    shop.press(Verb.STOP)
    assert (title(shop), figure(shop)) == ("A–D: Harden done, Temper 1 not begun.", "50 min left")


def test_one_press_starts_what_is_asked_for_with_those_pieces(shop: Alarmed) -> None:
    stopped(shop)
    assert shop.answer(AlarmVerb.WITHIN_START) is None
    (temper,) = shop.running
    assert shop.running_names() == ["Temper 1"]
    assert shop.record.floor.marks(temper.pieces) == ["A", "B", "C"]
    assert shop.alarms.strip() == ""
    assert "Temper 1" not in broken_at(shop)
    shop.record.undo()
    assert "not begun" in title(shop)
    assert check(shop.record.path) == []


def test_it_ends_when_they_are_lost(shop: Alarmed) -> None:
    stopped(shop, pieces=1)
    assert title(shop).startswith("A: ")
    shop.answer(AlarmVerb.WITHIN_SEEN)
    shop.press(Verb.NOT_RIGHT, answers=("A", "lost", "cracked"))
    assert shop.piece("A").reason == "cracked"
    assert shop.alarms.strip() == ""


def test_stop_next_and_done_stay_live_under_it(shop: Alarmed) -> None:
    stopped(shop)
    shop.answer(AlarmVerb.WITHIN_SEEN)
    shop.press(Verb.CARRY_ON, 1)
    shop.tick(40)
    assert "not begun" in title(shop)
    assert shop.shown is not None
    assert {"stop", "next", "done"} == {button.verb for button in shop.shown.bottom}
    assert "A–D: Harden done" in shop.answer(Verb.DONE).title  # type: ignore[union-attr]  # it is still shown
    assert shop.answer(Verb.NEXT) is None
    assert shop.running_names() == ["Temper 1"]


def test_it_goes_before_recovery_a_wait_and_still_at_it(shop: Alarmed) -> None:
    stopped(shop)
    shop.answer(AlarmVerb.WITHIN_SEEN)
    shop.start("Saw scales")
    shop.tick(5)
    shop.clock.restart(shop.clock.now_us + 33 * 60_000_000)
    shop.again()
    assert "not begun" in title(shop)
    shop.answer(AlarmVerb.WITHIN_SEEN)
    assert "was running" in title(shop)


def test_the_screen_stays_on_while_it_runs(shop: Alarmed) -> None:
    stopped(shop)
    assert not shop.running
    assert shop.bench.keep_awake
    assert not shop.state.far
    shop.answer(AlarmVerb.WITHIN_START)
    assert not shop.bench.keep_awake


def test_late_is_said_and_starting_late_is_kept(shop: Alarmed) -> None:
    stopped(shop)
    shop.clock.go(61)
    assert (title(shop), figure(shop)) == ("A–C: Harden done, Temper 1 not begun.", "late by 7 min")
    shop.answer(AlarmVerb.WITHIN_START)
    assert shop.state.plate.line == "A–C: Temper 1 came too late after Harden."
    assert broken_at(shop)["Temper 1"] == ["A", "B", "C"]


def test_its_start_says_who_comes_out_of_the_oven_for_it(shop: Alarmed) -> None:
    """Five of another batch have had their time in the oven; three were hardened in a second one meanwhile."""
    first, second = shop.batch("Oyster", 5), shop.batch("Paring 95", 3)
    shop.start("Temper 1", first)
    shop.start("Harden", second, 130)
    shop.press(Verb.OTHER_TOOL)
    for _ in range(3):
        shop.press(Verb.DONE, 2)
    shop.press(Verb.STOP)
    assert title(shop) == "A–C: Harden done, Temper 1 not begun."
    assert shop.shown is not None
    start = shop.shown.answers[0]
    assert (start.title, start.detail) == ("Start: Temper 1", "A–E out of Temper 1 26-01")
    shop.answer(AlarmVerb.WITHIN_START)
    assert [(i.batch_id, shop.record.floor.get(Step, i.step_id or 0).name) for i in shop.running] == [
        (second.id, "Temper 1")
    ]
