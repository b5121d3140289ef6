"""A caution is said at the first start of a stage on a day, and that it was is kept."""

from dataclasses import replace

import pytest

from shopclock.shop.values.entities import CautionShown, Stage
from shopclock.shop.work import acts, begin
from shopclock.shop.work.begin import caution_of
from tests.shop.workshop import Shop


@pytest.fixture
def shop() -> Shop:
    made = Shop(3)
    for name in ("Saw", "Bevel"):
        made.press(
            lambda tx, name=name: tx.change(replace(tx.current(made.step(name)), caution=f"Mind the {name.lower()}."))
        )
    return made


def start(shop: Shop, name: str) -> None:
    shop.press(lambda tx: begin.begin(tx, shop.step(name)))


def kept(shop: Shop) -> list[tuple[str, int]]:
    return [(c.caution, c.at_us) for c in shop.floor.all(CautionShown)]


def test_the_first_start_of_each_stage_on_a_day_keeps_its_caution(shop: Shop) -> None:
    start(shop, "Saw")
    first_us = shop.clock.now_us
    shop.clock.on(5)
    shop.press(begin.stop)
    shop.press(acts.carry_on)
    start(shop, "Bevel")
    assert kept(shop) == [("Mind the saw.", first_us), ("Mind the bevel.", shop.clock.now_us)]
    shop.clock.on(24 * 60)
    shop.press(begin.stop)
    shop.press(acts.carry_on)
    assert [text for text, _ in kept(shop)] == ["Mind the saw.", "Mind the bevel.", "Mind the bevel."]


def test_a_day_is_the_shops_own_and_ends_at_its_midnight(shop: Shop) -> None:
    start(shop, "Saw")
    shop.press(begin.stop)
    shop.clock.on(6 * 60)
    start(shop, "Saw")
    assert len(kept(shop)) == 2


def test_next_shows_the_caution_of_what_it_begins(shop: Shop) -> None:
    start(shop, "Saw")
    running = next(iter(shop.floor.running.values()))
    shop.clock.on(5)
    begun = shop.press(lambda tx: acts.go_on(tx, running))
    assert begun is not None
    assert caution_of(shop.floor, begun.stage_id, shop.step("Bevel")) == "Mind the bevel."


def test_where_a_step_has_none_its_stage_has(shop: Shop) -> None:
    stage = shop.floor.get(Stage, shop.step("Harden").stage_id)
    shop.press(lambda tx: tx.change(replace(tx.current(stage), caution="Hot.")))
    assert caution_of(shop.floor, stage.id, shop.step("Harden")) == "Hot."
    start(shop, "Harden")
    assert [text for text, _ in kept(shop)] == ["Hot."]


def test_what_has_none_keeps_nothing(shop: Shop) -> None:
    start(shop, "Harden")
    assert kept(shop) == []
