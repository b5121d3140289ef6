"""Stop, Next, Done and letters while *Still at it?* is open: it has ended, not when; now or a time is one press."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.screens.alarms.state import AlarmVerb
from shopclock.screens.bench.state import Verb
from shopclock.shop.state.keys import set_key
from shopclock.shop.values.entities import Tally
from shopclock.views.button import Press
from tests.screens.alarms import stories
from tests.screens.alarms.test_presenter import answers, ended, times, titles

if TYPE_CHECKING:
    from tests.screens.alarms.stories import Alarmed

NIGHT_MIN = 650


@pytest.fixture
def still(shop: Alarmed) -> Alarmed:
    """Bevels of seven, two of them marked after 15 min each; then nobody comes until the next morning."""
    stories.still(shop)
    shop.clock.go(NIGHT_MIN)
    shop.tick()
    assert titles(shop).startswith("Grind bevels since")
    return shop


def test_the_red_stop_next_morning_books_what_is_usual_as_estimated(still: Alarmed) -> None:
    still.answer(Verb.STOP)
    assert ended(still) == [(30, "pressed"), (80, "estimated")]
    assert titles(still) == "Grind bevels ended yesterday 18:44, when it usually ends. Was it then?"
    assert answers(still) == {"Ended yesterday 18:44": "as it stands", "It ended now": "it went on all the time"}
    assert not still.running
    assert check(still.record.path) == []


def test_as_it_stands_leaves_all_as_it_is(still: Alarmed) -> None:
    still.answer(Verb.STOP)
    assert still.answer(AlarmVerb.ENDED_SO) is None
    assert ended(still) == [(30, "pressed"), (80, "estimated")]
    assert still.record.next_undo is not None
    assert still.record.next_undo.what == "Stop"


def test_now_is_one_press_and_as_if_nothing_had_been_asked(still: Alarmed) -> None:
    still.answer(Verb.STOP)
    assert still.answer(AlarmVerb.ENDED_NOW) is None
    assert ended(still) == [(30 + 100 + NIGHT_MIN, "pressed")]
    assert check(still.record.path) == []


def test_another_time_is_one_press(still: Alarmed) -> None:
    still.answer(Verb.STOP)
    assert "17:40" in times(still)
    state = still.shown
    assert state is not None
    key = next(button.key for _, button in state.times if button.title == "17:40")
    still.alarms.press(key, still.clock.moment())
    assert still.shown is None
    assert ended(still) == [(30, "pressed"), (16, "estimated")]
    assert check(still.record.path) == []


def test_any_other_time_is_typed_and_one_that_it_can_not_have_been_is_told(still: Alarmed) -> None:
    still.answer(Verb.STOP)
    still.dialogs.answers = ["18:13"]
    assert still.answer(AlarmVerb.ENDED_TYPED) is None
    assert ended(still) == [(30, "pressed"), (49, "estimated")]


def test_next_says_the_same_and_begins_the_next_step_now(still: Alarmed) -> None:
    still.answer(Verb.NEXT)
    assert ended(still) == [(30, "pressed"), (80, "estimated")]
    assert len(still.running) == 1
    assert still.running[0].start_us == still.record.instant()
    still.answer(AlarmVerb.ENDED_SO)
    assert still.running_names() != ["Grind bevels"]
    assert check(still.record.path) == []


def test_next_and_a_time_keep_the_next_step_as_it_began(still: Alarmed) -> None:
    still.answer(Verb.NEXT)
    began_us = still.running[0].start_us
    still.clock.go(0.5)
    still.answer(AlarmVerb.ENDED_AT)
    assert [i.start_us for i in still.running] == [began_us]
    assert check(still.record.path) == []


def test_done_marks_its_piece_when_it_ended_and_nothing_runs_on(still: Alarmed) -> None:
    still.answer(Verb.DONE)
    assert ended(still) == [(30, "pressed"), (80, "estimated")]
    marks = sorted(tally.at_us for tally in still.record.floor.all(Tally))
    assert round((marks[-1] - marks[0]) / 60_000_000) == 95
    assert not still.running
    assert check(still.record.path) == []


def test_done_and_now_marks_the_piece_now_and_goes_on_and_says_so(still: Alarmed) -> None:
    still.answer(Verb.DONE)
    assert answers(still) == {"Ended yesterday 18:44": "as it stands", "It went on all the time": "and goes on"}
    assert still.answer(AlarmVerb.ENDED_NOW) is None
    assert max(tally.at_us for tally in still.record.floor.all(Tally)) == still.record.instant()
    assert still.running_names() == ["Grind bevels"]
    assert check(still.record.path) == []


def test_what_usually_takes_longer_is_said_to_have_ended_with_the_press(still: Alarmed) -> None:
    """Of nine nobody has marked one in the time of three: the whole usually takes longer than that."""
    still.answer(Verb.STOP)
    still.answer(AlarmVerb.ENDED_SO)
    batch = still.batch("Kitchen 180", 9)
    still.start("Saw out", batch)
    still.clock.go(35)
    still.tick()
    assert titles(still).startswith("Saw out since")
    still.answer(Verb.STOP)
    assert titles(still).endswith(", with this press. Was it then?")
    assert ended(still)[-1] == (35, "estimated")


def test_a_letter_says_the_same(still: Alarmed) -> None:
    piece = still.piece("E")
    still.bench.press(Press(Verb.LETTER, piece.id), still.clock.moment())
    assert ended(still) == [(30, "pressed"), (80, "estimated")]
    assert [t.piece_id for t in still.record.floor.all(Tally)][-1] == piece.id
    assert titles(still).endswith("when it usually ends. Was it then?")


def test_a_pedal_says_the_same(still: Alarmed) -> None:
    still.record.press("Key", lambda tx: set_key(tx, "stop", "F7"))
    assert still.alarms.key("F7", still.clock.moment()) == ""
    assert ended(still) == [(30, "pressed"), (80, "estimated")]


def test_undo_takes_the_press_back_and_it_is_asked_again(still: Alarmed) -> None:
    still.answer(Verb.STOP)
    still.answer(AlarmVerb.ENDED_SO)
    still.record.undo()
    assert titles(still).startswith("Grind bevels since")
    assert still.running_names() == ["Grind bevels"]


@pytest.mark.parametrize("later", [Verb.CARRY_ON, None])
def test_the_next_press_or_some_minutes_leave_it_as_it_stands(still: Alarmed, later: Verb | None) -> None:
    still.answer(Verb.STOP)
    if later is None:
        assert still.tick(3) is None
    else:
        still.clock.go(0.5)
        assert still.answer(later) is None
    assert ended(still)[:2] == [(30, "pressed"), (80, "estimated")]


def test_after_a_power_cut_stop_says_the_same(shop: Alarmed) -> None:
    stories.power(shop)
    shop.answer(Verb.STOP)
    assert [sure for _, sure in ended(shop)] == ["pressed", "estimated"]
    assert "Was it then?" in titles(shop)
    assert check(shop.record.path) == []


def test_stop_without_a_question_ends_it_now_and_offers_nothing(shop: Alarmed) -> None:
    batch = shop.batch("Paring 95", 7)
    shop.start("Grind bevels", batch)
    shop.press(Verb.STOP, 15)
    assert ended(shop) == [(15, "pressed")]
    assert shop.shown is None
