"""The far view, the keys and pedals, and how often the screen has to be drawn."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.bench.at_bench import AtBench
from shopclock.screens.bench.state import Verb
from shopclock.shop.state import keys, settings
from shopclock.views.button import Press

if TYPE_CHECKING:
    from tests.screens.bench.workshop import Workshop


def set_key(shop: Workshop, action: str, name: str) -> None:
    shop.record.press("Key", lambda tx: keys.set_key(tx, action, name), shop.clock.moment())


def test_left_alone_the_clock_fills_the_screen_until_somebody_is_there(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.clock.go(1.9)
    assert not shop.state.far
    shop.clock.go(0.2)
    assert shop.state.far
    shop.bench.wake(shop.clock.moment())
    assert not shop.state.far


def test_a_press_in_the_far_view_does_its_work_at_once(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    shop.clock.go(5)
    assert shop.state.far
    assert not shop.press(Verb.DONE).far
    assert shop.letters() == "A done, B in, C in"


def test_there_is_no_far_view_when_nothing_runs_or_it_was_switched_off(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.clock.go(60)
    assert not shop.state.far
    shop.record.press("Far", lambda tx: settings.set_value(tx, settings.FAR_VIEW_S, 0), shop.clock.moment())
    shop.start("Saw out")
    shop.clock.go(60)
    assert not shop.state.far


@pytest.mark.parametrize(
    ("action", "letters", "running"),
    [
        ("done", "A done, B in, C in", ["Saw out"]),
        ("next", "A in, B in, C in", ["Profile"]),
        ("stop", "A in, B in, C in", []),
    ],
)
def test_each_pedal_does_what_its_button_does(shop: Workshop, action: str, letters: str, running: list[str]) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    set_key(shop, action, "F13")
    assert shop.bench.keys == ("F13",)
    shop.clock.go(3)
    assert shop.key("F13") == ""
    assert (shop.letters(), shop.running_names()) == (letters, running)


def test_the_stop_pedal_carries_on_when_nothing_runs(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    set_key(shop, "stop", "F14")
    for running in ([], ["Saw out"]):
        shop.clock.go(3)
        shop.key("F14")
        assert shop.running_names() == running


def test_a_key_whose_button_takes_no_press_says_why_as_the_button_does(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    at_bench = AtBench(shop.record, shop.dialogs, shop.usual_at, shop.go)
    for action, key in (("done", "F13"), ("stop", "F14"), ("out", "F15"), ("C", "F16"), ("see_plan", "F17")):
        set_key(shop, action, key)
    now = shop.clock.moment()
    stop = next(button for button in shop.state.bottom if button.verb == Verb.STOP)
    assert at_bench.key("F14", now) == stop.why_not == "Nothing runs by hand."
    assert at_bench.key("F15", now) == "Take out: nothing to press now."
    shop.start("Saw out")
    assert at_bench.key("F16", now) == ""
    assert at_bench.key("F17", now) == "", "that is no button's at the Bench"
    assert at_bench.key("F18", now) == "", "a key that is for nothing"
    assert shop.letters() == "A in, B in, C done"
    set_key(shop, "H", "F19")
    assert at_bench.key("F19", now) == "Letter H: nothing to press now.", "three have A to C"


def test_next_starts_what_is_ready_when_nothing_runs(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    set_key(shop, "next", "F15")
    for at_work in ("Saw out", "Profile"):
        shop.clock.go(5)
        shop.key("F15")
        assert shop.running_names() == [at_work]


AT_BENCH = [action for action in keys.ACTIONS if action not in keys.ELSEWHERE]
FIRST = {"through": (Verb.STOP,), "back": (Verb.ROUTE_PAGE,), "both": (Verb.ROUTE_PAGE,), "others": (Verb.DONE,)}
"""What is pressed before some of the actions have their button."""


@pytest.mark.parametrize("action", [action for action in AT_BENCH if action not in ("put_back", "out", "close")])
def test_every_action_can_have_a_key_and_it_presses_the_button_of_that_name(shop: Workshop, action: str) -> None:
    shop.batch("Paring 95", 12)
    shop.start("Saw out")
    set_key(shop, action, "F15")
    for verb in FIRST.get(action, ()):
        shop.press(verb, 5)
    before = (shop.bench.state(shop.record.instant()), shop.record.next_undo, len(shop.dialogs.asked))
    shop.clock.go(0.01)
    assert shop.key("F15") == ""
    after = (shop.bench.state(shop.record.instant()), shop.record.next_undo, len(shop.dialogs.asked))
    assert before != after or action == "batch"


def test_a_key_takes_out_what_cooks(shop: Workshop) -> None:
    shop.batch("Paring 95", 2)
    set_key(shop, "out", "F15")
    shop.start("Glue up")
    shop.press(Verb.NEXT, 30)
    assert shop.running_names() == ["Cure"]
    shop.clock.go(24 * 60)
    assert shop.key("F15") == ""
    assert shop.running == []


def test_a_key_closes_a_batch_all_through(shop: Workshop) -> None:
    batch = shop.batch("Paring 95", 2)
    set_key(shop, "close", "F15")
    last = shop.record.floor.steps(batch.id)[-1]
    shop.press(Press(Verb.START, last.id))
    shop.press(Verb.NEXT, 10)
    assert shop.key("F15") == ""
    assert not shop.record.floor.open_batches()


def test_within_some_seconds_only_the_clock_has_to_be_drawn(shop: Workshop) -> None:
    shop.batch("Paring 95", 3)
    shop.start("Saw out")
    now_us = shop.record.instant()
    assert not shop.bench.is_stale(now_us + 5_000_000)
    assert shop.bench.is_stale(now_us + 10_000_000)
