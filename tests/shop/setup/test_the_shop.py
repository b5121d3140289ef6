"""The shop itself: what it is called, where it is, what its money and its days are."""

import pytest

from shopclock.shop.setup.rates import rates, set_rate
from shopclock.shop.setup.the_shop import Here, address, begin_here, name_shop, set_address, set_zone, the_shop
from shopclock.shop.values.errors import Refusal
from tests.shop.workshop import Shop


def test_a_name_and_an_address_are_kept_and_taken_away() -> None:
    shop = Shop()
    shop.press(lambda tx: name_shop(tx, "  Tarnfell   Edge "))
    assert shop.press(lambda tx: set_address(tx, "Mill Lane 3,Tarnfell")) == ("Mill Lane 3", "Tarnfell")
    assert (the_shop(shop.floor).name, address(shop.floor)) == ("Tarnfell Edge", ("Mill Lane 3", "Tarnfell"))
    shop.press(lambda tx: set_address(tx, " , "))
    shop.press(lambda tx: name_shop(tx, ""))
    assert (the_shop(shop.floor).name, address(shop.floor)) == ("", ())


@pytest.mark.parametrize("typed", ["1,2,3,4,5,6", "x" * 61])
def test_an_address_that_no_head_has_room_for_is_refused(typed: str) -> None:
    shop = Shop()
    with pytest.raises(Refusal, match="5 lines of 60 letters at most"):
        shop.press(lambda tx: set_address(tx, typed))
    with pytest.raises(Refusal, match="61 of at most 60 letters"):
        shop.press(lambda tx: name_shop(tx, "x" * 61))


@pytest.mark.parametrize("name", ["Atlantis/Here", "", "../etc/passwd", "/etc/localtime"])
def test_a_zone_that_is_none_is_refused(name: str) -> None:
    shop = Shop()
    assert shop.press(lambda tx: set_zone(tx, "Europe/Lisbon")).zone == "Europe/Lisbon"
    with pytest.raises(Refusal, match="is no time zone"):
        shop.press(lambda tx: set_zone(tx, name))


def test_a_new_shop_begins_with_the_currency_of_the_place_and_keeps_what_was_set() -> None:
    shop = Shop()
    shop.press(lambda tx: begin_here(tx, Here()))
    assert rates(shop.floor).currency == "EUR"
    shop.press(lambda tx: begin_here(tx, Here("NOK", "A4", "Europe/Oslo")))
    assert rates(shop.floor).currency == "NOK"
    shop.press(lambda tx: set_rate(tx, "currency", "CHF"))
    shop.press(lambda tx: begin_here(tx, Here("NOK")))
    assert rates(shop.floor).currency == "CHF"
