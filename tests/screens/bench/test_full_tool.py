"""What Next says while the oven is full: the step that follows, until when, and no press that means two things."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shopclock.screens.bench.state import Verb
from shopclock.shop.values.entities import Load, Step
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
    assert (following.title, following.enabled) == ("All through: A, B", True)
    assert following.detail == "Harden waits for the oven"


def test_stopped_who_is_through_is_named_and_that_the_next_step_waits_for_the_oven(shop: Workshop) -> None:
    fill_the_oven(shop)
    shop.press(Verb.STOP, 20)
    bottom = shop.bottom()
    assert (bottom["next"].title, bottom["next"].detail) == ("All through: A, B", "Harden waits for the oven")
    assert bottom["done"].title == "Done: A"
    assert "through" not in bottom
    shop.press(Verb.NEXT)
    assert "Harden" not in shop.running_names()


def test_a_step_whose_oven_is_held_to_be_at_another_heat_starts_and_one_press_says_it_is_at_this_one(
    shop: Workshop,
) -> None:
    fill_the_oven(shop)
    step, batch = shop.step("Harden"), shop.record.floor.open_batches()[1]
    at_us = shop.clock.now_us
    state = shop.start("Harden", batch)
    begun = next(i for i in shop.running if i.batch_id == batch.id)
    assert (shop.step("Harden", batch).id, begun.start_us) == (begun.step_id, at_us)
    assert state.plate.line.startswith("Oven was at 200 °C until")
    assert state.side is not None
    offered = [tile.title for tile in state.side.tiles]
    assert offered == ["Oven at 800 °C now", "Took them out", "Another oven", "Not started"]
    assert step.batch_id != batch.id
    shop.press(Verb.SET_NOW)
    there = {i.batch_id: i.load_id for i in shop.running}
    assert there == {step.batch_id: None, batch.id: begun.load_id}
    assert sorted(shop.running_names()) == ["Harden", "Temper 1"]


@pytest.mark.parametrize(("answer", "left"), [(Verb.TOOK_OUT, ["Harden"]), (Verb.OTHER_TOOL, ["Temper 1", "Harden"])])
def test_what_lay_in_the_oven_came_out_or_it_is_another_oven(shop: Workshop, answer: Verb, left: list[str]) -> None:
    fill_the_oven(shop)
    batch = shop.record.floor.open_batches()[1]
    shop.start("Harden", batch)
    shop.press(answer)
    assert shop.running_names() == left
    tools = {shop.record.floor.get(Load, i.load_id or 0).tool_id for i in shop.running}
    assert len(tools) == len(left)
    assert shop.state.side is not None
    assert not shop.state.side.asked


def test_five_more_in_a_full_oven_are_in_it_unanswered_and_it_fits_asks_no_more(shop: Workshop) -> None:
    fill_the_oven(shop)
    batch = shop.record.floor.open_batches()[0]
    state = shop.start("Temper 1", batch)
    assert state.plate.line.startswith("Oven was full until")
    loads = {i.load_id for i in shop.running if shop.record.floor.get(Step, i.step_id or 0).name == "Temper 1"}
    assert len(loads) == 1
    assert None not in loads
    assert state.side is not None
    assert state.side.tiles[0].title == "It fits"
    undo = shop.bottom()["undo"].detail
    side = shop.press(Verb.IT_FITS).side
    assert side is not None
    assert not side.asked
    assert shop.bottom()["undo"].detail == undo


def test_not_started_takes_the_start_back(shop: Workshop) -> None:
    fill_the_oven(shop)
    before = shop.running
    shop.start("Harden", shop.record.floor.open_batches()[1])
    shop.press(Verb.NOT_STARTED)
    assert shop.running == before


def test_an_answer_that_comes_after_another_press_changes_nothing(shop: Workshop) -> None:
    fill_the_oven(shop)
    shop.start("Harden", shop.record.floor.open_batches()[1])
    shop.press(Verb.STOP, 1)
    before = shop.running
    for answer in (Verb.SET_NOW, Verb.TOOK_OUT, Verb.OTHER_TOOL, Verb.NOT_STARTED):
        shop.press(answer)
        assert shop.running == before


def test_a_start_names_who_joins_what_lies_in_the_oven_and_not_who_is_there(shop: Workshop) -> None:
    """Seven bevelled, the oven holds five: A–D are in it, A comes out, the scales are sawn beside."""
    shop.batch("Paring 95", 7)
    shop.start("Grind bevels")
    shop.press(Verb.STOP, 40)
    shop.press(Verb.THROUGH)
    shop.press(shop.letter("E"))
    shop.start("Harden")
    shop.press(Verb.DONE, 6)
    shop.start("Saw scales")
    state = shop.state
    assert state.side is not None
    tile = next(tile for tile in state.side.tiles if tile.title == "Harden" and tile.verb == Verb.START)
    assert tile.detail == "E, F go in  ·  G waits"
    assert isinstance(tile.key, Press)
    shop.press(tile.key)
    inside = [i for i in shop.running if i.step_id == shop.step("Harden").id]
    assert [shop.record.floor.marks(i.pieces) for i in inside] == [["A", "B", "C", "D"], ["E", "F"]]


def test_a_start_with_more_than_a_full_oven_takes_starts_and_asks_what_is_true(shop: Workshop) -> None:
    """Five of seven harden and the scales are sawn beside: the tile for the other two does something."""
    shop.batch("Paring 95", 7)
    shop.start("Grind bevels")
    shop.press(Verb.STOP, 40)
    shop.press(Verb.THROUGH)
    shop.start("Harden")
    shop.start("Saw scales", after_min=1)
    side = shop.state.side
    assert side is not None
    tile = next(tile for tile in side.tiles if tile.title == "Harden" and tile.verb == Verb.START)
    assert (tile.detail, tile.detail_role) == ("oven full  ·  F, G", "straw")
    assert isinstance(tile.key, Press)
    state = shop.press(tile.key)
    inside = [i for i in shop.running if i.step_id == shop.step("Harden").id]
    assert [shop.record.floor.marks(i.pieces) for i in inside] == [list("ABCDE"), ["F", "G"]]
    assert state.side is not None
    assert [answer.title for answer in state.side.tiles][:2] == ["It fits", "Took them out"]


def test_what_carries_on_says_what_comes_out_for_it(shop: Workshop) -> None:
    first, second = shop.batch("Paring 95", 5), shop.batch("Oyster", 5)
    shop.start("Harden", second)
    shop.press(Verb.STOP, 5)
    shop.start("Temper 1", first)
    shop.press(Press(Verb.BATCH, second.id), 130)
    carry_on = shop.bottom()[Verb.CARRY_ON]
    assert (carry_on.title, carry_on.detail) == ("Carry on: Harden", "26-02  ·  A–E out of Temper 1 26-01")
    shop.press(Verb.CARRY_ON)
    assert [(i.batch_id, i.step_id) for i in shop.running] == [(second.id, shop.step("Harden", second).id)]
