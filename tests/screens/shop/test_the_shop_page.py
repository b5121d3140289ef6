"""The shop in one place: name, address, money, zone, paper, each by presses and what is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.shop.presenter import ShopPresenter
from shopclock.shop.setup.rates import rates
from shopclock.shop.setup.the_shop import Here, address, the_shop
from shopclock.shop.state import settings
from shopclock.shop.state.wording import counted
from shopclock.views.page import PageContent
from tests.fake_dialogs import FakeDialogs
from tests.record.on_disk import DiskShop
from tests.shop.starters import starters

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Page


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


def test_where_a_route_of_another_trade_is_copied_its_words_are_offered(shop: DiskShop) -> None:
    dialogs = FakeDialogs()
    presenter = ShopPresenter(shop.record, dialogs, starters(), lambda *_: None)
    mugs = next(n for n, route in enumerate(starters()) if route.name.startswith("Mugs"))
    for answers, said in ((["Tide", "stay"], "2 knives"), (["Ebb"], "2 knives")):
        presenter.copy_a_route()
        presenter.state()
        dialogs.answers = list(answers)
        presenter.press(f"route {mugs}")
        assert dialogs.answers == []
        assert counted(shop.floor, "finished", 2) == said
    assert presenter.state().title == "Route of Ebb"
    shop.undo()
    shop.undo()
    presenter.copy_a_route()
    presenter.state()
    dialogs.answers = ["Tide", "route"]
    presenter.press(f"route {mugs}")
    assert dialogs.asked[-1].words == "What the shop calls a piece, and a finished one"
    assert [choice.label for choice in dialogs.asked[-1].choices] == ["mug", "blade, knife"]
    assert counted(shop.floor, "finished", 2) == "2 mugs"


def test_all_that_comes_in_and_goes_out_is_in_one_place(shop: DiskShop) -> None:
    went: list[str] = []
    files: dict[tuple[str, str], Callable[[PagedPresenter], Page]] = {
        ("Old notes", "from a spreadsheet"): lambda stack: DescribedPage(stack, lambda _: PageContent("Notes"))
    }
    presenter = ShopPresenter(shop.record, FakeDialogs(), starters(), lambda key, *_: went.append(key), files)
    presenter.show("in and out", "old notes")
    assert presenter.state().title == "Notes"
    presenter.back()
    assert [tile.title for tile in presenter.state().tiles] == ["Old notes", "Paper"]
    for key in ("card", "review", "quote"):
        presenter.show("in and out", "paper", key)
    assert went == ["batches", "review", "plan"]
