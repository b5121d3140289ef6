"""What Next says while the oven is full: the step that follows, until when, and no press that means two things."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.bench.state import Verb
from shopclock.views.button import Press
from tests.screens.bench.stories import quench

if TYPE_CHECKING:
    from tests.screens.bench.workshop import Workshop


def fill_the_oven(shop: Workshop) -> None:
    """Five temper; the other four go on being bevelled."""
    quench(shop)
    shop.press(Press(Verb.LOAD_IN, shop.step("Harden").id))
    for _ in range(5):
        shop.press(Verb.DONE, 3)
    shop.press(Verb.NEXT, 1)
    second = shop.batch("Oyster", 2)
    shop.start("Grind bevels", second, 2)


def test_by_hand_all_through_stays_to_be_pressed_and_says_when_the_oven_is_free(shop: Workshop) -> None:
    fill_the_oven(shop)
    following = shop.bottom()[Verb.NEXT]
    assert (following.title, following.enabled) == ("All through", True)
    assert following.detail.startswith("oven at ")


def test_stopped_all_through_and_done_stay_to_be_pressed_while_the_step_that_follows_waits(shop: Workshop) -> None:
    fill_the_oven(shop)
    shop.press(Verb.STOP, 20)
    following, done = shop.bottom()[Verb.NEXT], shop.bottom()[Verb.DONE]
    assert (following.title, following.enabled) == ("All through", True)
    assert "until" in following.detail
    assert done.title == "Done: A"
    shop.press(Verb.NEXT)
    assert "Harden" not in shop.running_names()
