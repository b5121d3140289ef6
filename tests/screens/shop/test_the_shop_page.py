"""The shop in one place: name, address, money, zone, paper, each by presses and what is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.shop.setup.rates import rates
from shopclock.shop.setup.the_shop import Here, address, the_shop
from shopclock.shop.state import settings
from tests.fake_dialogs import FakeDialogs
from tests.record.on_disk import DiskShop
from tests.shop.starters import starters

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = DiskShop(tmp_path)
    yield made
    made.close()


def test_it_is_all_set_in_one_place_and_what_is_usual_here_is_offered_first(shop: DiskShop) -> None:
    dialogs = FakeDialogs()
    here = Here("NOK", "A4", "Europe/Oslo")
    presenter = ShopPresenter(shop.record, dialogs, starters(), lambda *_: None, here=here)
    presenter.show("the shop")
    assert presenter.state().title == "The shop has no name yet"
    for key, answers in {
        "name": ["Tarnfell Edge"],
        "address": ["Mill Lane 3, Tarnfell"],
        "currency": ["NOK"],
        "zone": ["Europe/Oslo"],
        "paper size": ["Letter"],
        "quote days": ["14"],
    }.items():
        dialogs.answers = list(answers)
        presenter.press(key)
        assert dialogs.answers == [], key
    assert (the_shop(shop.floor).name, the_shop(shop.floor).zone) == ("Tarnfell Edge", "Europe/Oslo")
    assert (address(shop.floor), rates(shop.floor).currency) == (("Mill Lane 3", "Tarnfell"), "NOK")
    assert (settings.value(shop.floor, settings.PAPER), settings.value(shop.floor, settings.QUOTE_DAYS)) == (
        "Letter",
        14,
    )
    assert [tile.detail for tile in presenter.state().tiles] == [
        "Tarnfell Edge", "Mill Lane 3, Tarnfell", "NOK", "Europe/Oslo", "Letter", "14 days",
    ]  # fmt: skip
    dialogs.answers = ["Pacific", "Pacific/Chatham"]
    presenter.press("zone")
    dialogs.answers = ["isk"]
    presenter.press("currency")
    assert rates(shop.floor).currency == "ISK"
    assert the_shop(shop.floor).zone == "Pacific/Chatham"
