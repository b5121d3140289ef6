"""Patterns: copying a route and a name is all it takes; a batch can start at once."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.shop.setup.patterns import newest_route, route_rules, route_steps
from shopclock.shop.setup.route_words import worth_asking
from shopclock.shop.values.entities import Pattern
from tests.screens.batches.reading import press, said, tile, titles
from tests.screens.batches.story import routes

if TYPE_CHECKING:
    from shopclock.screens.shop.presenter import ShopPresenter
    from tests.fake_dialogs import FakeDialogs
    from tests.screens.batches.story import Gone, Shop

COPY = ("Patterns", "Copy a route")


def patterns(shop: Shop) -> list[str]:
    return [pattern.name for pattern in shop.floor.all(Pattern)]


def test_every_starter_route_can_be_copied(shop: Shop, presenter: ShopPresenter, dialogs: FakeDialogs) -> None:
    for number, route in enumerate(routes()):
        presenter.home()
        asks = worth_asking(shop.floor, route)
        dialogs.answers = [f"Pattern {number}", *(["stay"] if asks else [])]
        press(presenter, *COPY, route.name)
        assert dialogs.answers == []
        assert len(presenter.state().tiles) == len(route.steps)
    assert patterns(shop) == [f"Pattern {n}" for n in range(len(routes()))]


def test_the_name_of_the_route_is_proposed(presenter: ShopPresenter, dialogs: FakeDialogs) -> None:
    press(presenter, *COPY, routes()[0].name)
    assert dialogs.asked[-1].start == routes()[0].name


def test_a_batch_starts_at_once_on_a_copied_route(
    shop: Shop, presenter: ShopPresenter, dialogs: FakeDialogs, gone: Gone
) -> None:
    dialogs.answers = ["Tide knife"]
    press(presenter, *COPY, routes()[0].name, "New batch", "5", "Go: 5 blades")
    batch = shop.floor.open_batches()[0]
    assert len(shop.floor.pieces(batch.id)) == 5
    assert gone.to == [("bench", batch.id)]
    assert presenter.state().title == "What the shop has"


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("   ", "A name is needed. Nothing was changed."),
        ("paring  95", "There is paring 95 already. Nothing was changed; choose another name."),
        ("x" * 41, f"{'x' * 41} is too long: 41 of at most 40 letters. Nothing was changed."),
    ],
)
def test_a_name_that_will_not_do_is_told_and_nothing_is_made(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs, name: str, sentence: str
) -> None:
    dialogs.answers = [name]
    press(presenter, *COPY, routes()[0].name)
    assert [asked.words for asked in dialogs.asked if asked.kind == "tell"] == [sentence]
    assert patterns(shop) == [pattern.name]


def test_an_own_pattern_can_be_copied_as_the_shop_does_it(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["Paring 110"]
    press(presenter, *COPY, "Paring 95")
    made = next(p for p in shop.floor.all(Pattern) if p.name == "Paring 110")
    old, new = newest_route(shop.floor, pattern), newest_route(shop.floor, made)
    assert [s.name for s in route_steps(shop.floor, new)] == [s.name for s in route_steps(shop.floor, old)]
    assert len(route_rules(shop.floor, new)) == len(route_rules(shop.floor, old)) > 0
    assert {rule.first_step_id for rule in route_rules(shop.floor, new)} <= {s.id for s in route_steps(shop.floor, new)}


def test_a_pattern_is_put_away_and_comes_back(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["away", "bring"]
    press(presenter, "Patterns", "Paring 95", "Name")
    assert shop.floor.get(Pattern, pattern.id).put_away
    assert not tile(presenter, "New batch").enabled
    press(presenter, "Name")
    assert not shop.floor.get(Pattern, pattern.id).put_away


def test_a_pattern_gets_another_name(
    shop: Shop, pattern: Pattern, presenter: ShopPresenter, dialogs: FakeDialogs
) -> None:
    dialogs.answers = ["name", "Paring 97"]
    press(presenter, "Patterns", "Paring 95", "Name")
    assert shop.floor.get(Pattern, pattern.id).name == "Paring 97"
    assert presenter.state().title == "Route of Paring 97"


def test_an_empty_shop_says_where_to_begin(presenter: ShopPresenter) -> None:
    assert said(presenter) == "Begin with Patterns: copy a route and give it a name."
    press(presenter, "Patterns")
    assert presenter.state().title == "There is no pattern yet"
    assert titles(presenter) == ["Copy a route"]
