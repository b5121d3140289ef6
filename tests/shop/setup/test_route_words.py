"""A route's own words: a new shop takes them, one that makes something else is asked."""

from dataclasses import replace

from shopclock.shop.routes.starter_route import Outline, StarterRoute
from shopclock.shop.setup.list_edit import set_word
from shopclock.shop.setup.patterns import copy_route
from shopclock.shop.setup.route_words import speaks_first, use_words, words_of, worth_asking
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Pattern
from tests.shop.starters import starters
from tests.shop.workshop import Shop


def route(name: str) -> StarterRoute:
    return next(one for one in starters() if one.name.startswith(name))


def empty_shop() -> Shop:
    """A shop whose first pattern was taken back."""
    shop = Shop(1)
    while any(shop.floor.all(Pattern)):
        shop.undo()
    return shop


def test_a_route_says_what_a_piece_and_a_finished_one_are_called() -> None:
    assert words_of(route("Mugs")) == {"piece": ("mug", "mugs"), "finished": ("mug", "mugs")}
    assert words_of(route("Stock removal")) == {"piece": ("blade", "blades"), "finished": ("knife", "knives")}
    whole = replace(route("Mugs"), batch="throwing", batches="throwings")
    assert words_of(whole)["batch"] == ("throwing", "throwings")
    assert "batch" not in words_of(replace(whole, batches=""))


def test_a_new_shop_takes_the_words_of_its_first_route() -> None:
    shop = empty_shop()
    assert speaks_first(shop.floor, route("Mugs"))
    assert not worth_asking(shop.floor, route("Mugs"))
    assert not speaks_first(shop.floor, route("Stock removal")), "it says the same already"
    shop.press(lambda tx: use_words(tx, route("Mugs")))
    assert counted(shop.floor, "finished", 2) == "2 mugs"


def test_a_shop_with_words_of_its_own_or_of_another_trade_is_asked_and_one_of_the_same_is_not() -> None:
    shop = empty_shop()
    shop.press(lambda tx: set_word(tx, word(tx.floor, "piece"), "pot", "pots"))
    assert (speaks_first(shop.floor, route("Mugs")), worth_asking(shop.floor, route("Mugs"))) == (False, True)
    knives = Shop(1)
    assert knives.pattern.outline == Outline.BLADE
    assert worth_asking(knives.floor, route("Mugs"))
    assert not worth_asking(knives.floor, route("Folder"))
    knives.press(lambda tx: copy_route(tx, route("Mugs"), "Tide"))
    assert not worth_asking(knives.floor, route("Guitar")), "it makes such things, and kept its words"
