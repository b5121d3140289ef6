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


def test_stopped_the_step_that_follows_is_named_and_waits_for_the_oven(shop: Workshop) -> None:
    fill_the_oven(shop)
    shop.press(Verb.STOP, 20)
    bottom = shop.bottom()
    assert (bottom["next"].title, bottom["next"].enabled) == ("Next: Harden", False)
    assert "until" in bottom["next"].detail
    assert (bottom["through"].title, bottom["through"].enabled) == ("All through", True)
