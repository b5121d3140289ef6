"""Look, sizes, the ruler, and keys that are given by pressing them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.shop.pages.settings import CARD_MM, OnScreen
from shopclock.shop.state import settings
from shopclock.shop.state.keys import action_of, key_for
from tests.screens.batches.reading import press, tile

if TYPE_CHECKING:
    from shopclock.screens.shop.presenter import ShopPresenter
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Shop

LOOK = ("Look and sizes",)


@pytest.mark.parametrize(
    ("page", "button", "spec", "key"),
    [
        ("Look and sizes", "Colours", settings.THEME, "paper"),
        ("Look and sizes", "Buttons for", settings.SIZE, "gloves"),
        ("Look and sizes", "Large clock", settings.FAR_VIEW_S, "300"),
        ("Look and sizes", "Full screen", settings.FULL_SCREEN, "yes"),
        ("Look and sizes", "Full screen dims", settings.DIM_MIN, "30"),
        ("Still at it?", "The day ends", settings.DAY_ENDS, "01:00"),
        ("Still at it?", "Asked when", settings.TIMES_USUAL, "4"),
        ("Still at it?", "Nothing usual yet", settings.UNKNOWN_H, "2"),
    ],
)
def test_a_setting_is_chosen(  # one for each setting
    shop: Shop,
    presenter: ShopPresenter,
    dialogs: FakeDialogs,
    page: str,
    button: str,
    spec: settings.Spec[str] | settings.Spec[int],
    key: str,
) -> None:
    dialogs.answers = [key]
    press(presenter, page, button)
    assert str(settings.value(shop.floor, spec)) == key  # type: ignore[arg-type]  # a spec of either type
    assert dialogs.asked[-1].words == spec.help


def test_the_bar_begins_as_long_as_the_window_takes_a_card_to_be(presenter: ShopPresenter) -> None:
    press(presenter, *LOOK, "Ruler")
    assert presenter.state().bar_px == round(CARD_MM * 4.5)


def test_the_ruler_is_kept_for_this_screen_as_pixels_per_millimetre(shop: Shop, presenter: ShopPresenter) -> None:
    press(presenter, *LOOK, "Ruler", "Longer", *["A little longer"] * 2, "A little shorter", "Shorter", "Longer")
    wanted = round(CARD_MM * 4.5) + 21
    assert presenter.state().bar_px == wanted
    assert settings.ruler(shop.floor, "a screen") is None
    press(presenter, "It is as long")
    measured = settings.ruler(shop.floor, "a screen")
    assert measured == pytest.approx(wanted / CARD_MM, abs=1e-4)
    assert settings.ruler(shop.floor, "another") is None
    assert tile(presenter, "Ruler").detail == "checked on this screen"


def test_a_measured_screen_can_be_left_to_itself_again(shop: Shop, presenter: ShopPresenter) -> None:
    press(presenter, *LOOK, "Ruler")
    assert not tile(presenter, "As the screen says").enabled
    press(presenter, "It is as long", "Ruler", "As the screen says")
    assert settings.ruler(shop.floor, "a screen") is None


def test_the_bar_stays_in_the_window_and_is_never_nothing(presenter: ShopPresenter) -> None:
    presenter.on_screen(OnScreen("a screen", 30.0, 900.0))
    press(presenter, *LOOK, "Ruler")
    assert presenter.state().bar_px == 900
    assert not tile(presenter, "A little longer").enabled
    presenter.home()
    presenter.on_screen(OnScreen("a screen", 0.1, 900.0))
    press(presenter, *LOOK, "Ruler")
    assert presenter.state().bar_px == 100
    assert not tile(presenter, "A little shorter").enabled


def test_a_key_is_given_by_pressing_it_once(shop: Shop, presenter: ShopPresenter) -> None:
    press(presenter, "Keys and pedals", "Done")
    presenter.key_pressed("F5")
    assert tile(presenter, "Done").detail == "key F5"
    assert action_of(shop.floor, "F5") == "done"
    press(presenter, "Done")
    presenter.key_pressed("F6")
    assert action_of(shop.floor, "F5") is None


def test_a_key_does_one_thing(shop: Shop, presenter: ShopPresenter, dialogs: FakeDialogs) -> None:
    press(presenter, "Keys and pedals", "Done")
    presenter.key_pressed("Space")
    press(presenter, "Undo")
    presenter.key_pressed("Space")
    assert dialogs.asked[-1].words == "The key Space is for Done already. Nothing was changed."
    assert key_for(shop.floor, "undo") is None


def test_an_action_can_be_left_without_a_key(shop: Shop, presenter: ShopPresenter) -> None:
    press(presenter, "Keys and pedals", "Next")
    presenter.key_pressed("N")
    press(presenter, "Next", "No key")
    assert key_for(shop.floor, "next") is None


def test_a_key_elsewhere_changes_nothing(shop: Shop, presenter: ShopPresenter) -> None:
    presenter.key_pressed("N")
    assert action_of(shop.floor, "N") is None
