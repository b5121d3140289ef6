"""The shop's lists: nothing with history is lost, and no two things have one name."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from shopclock.shop.setup import list_edit
from shopclock.shop.state.keys import action_of, drop_key, key_for, set_key
from shopclock.shop.state.settings import forget, ruler, store
from shopclock.shop.values.entities import Method, Reason, RouteStep, Stage, Tool
from shopclock.shop.values.errors import Refusal
from tests.shop.workshop import Shop

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.shop.state.transaction import Transaction


@pytest.fixture
def shop() -> Shop:
    return Shop()


ADDED: list[tuple[type[Stage | Tool | Reason], Callable[[Transaction, str], object]]] = [
    (Stage, list_edit.add_stage),
    (Tool, list_edit.add_tool),
    (Reason, list_edit.add_reason),
]


@pytest.mark.parametrize(("kind", "add"), ADDED)
@pytest.mark.parametrize("again", ["Etch", "etch", " ETCH "])
def test_a_name_is_added_once(
    shop: Shop, kind: type[Stage | Tool | Reason], add: Callable[[Transaction, str], object], again: str
) -> None:
    shop.press(lambda tx: add(tx, "Etch"))
    before = list(shop.floor.all(kind))
    with pytest.raises(Refusal):
        shop.press(lambda tx: add(tx, again))
    assert list(shop.floor.all(kind)) == before


def test_a_thing_may_keep_its_own_name_in_other_capitals(shop: Shop) -> None:
    stage = shop.stage("Bevel")
    assert shop.press(lambda tx: list_edit.rename(tx, stage, "BEVEL")).name == "BEVEL"


def test_steps_called_as_their_stage_take_its_new_name_and_others_keep_theirs(shop: Shop) -> None:
    """In the route and in the open batch; a step with a name of its own keeps that."""
    own = shop.step("Scales")
    shop.press(lambda tx: tx.change(replace(tx.current(own), name="Saw scales", stage_id=shop.stage("Bevel").id)))
    shop.press(lambda tx: list_edit.rename(tx, shop.stage("Bevel"), "Rough grind"))
    renamed = shop.stage("Rough grind").id
    assert [s.name for s in shop.floor.steps(shop.batch.id) if s.stage_id == renamed] == ["Rough grind", "Saw scales"]
    assert [s.name for s in shop.floor.all(RouteStep) if s.stage_id == renamed] == ["Rough grind"]
    assert "Saw" in [s.name for s in shop.floor.all(RouteStep)]


def test_methods_of_two_stages_may_share_a_name(shop: Shop) -> None:
    saw = shop.stage("Saw")
    made = shop.press(lambda tx: list_edit.new_method(tx, saw, "jig"))
    assert (made.stage_id, made.name) == (saw.id, "jig")
    hacksaw = next(m for m in shop.floor.all(Method) if m.name == "hacksaw")
    with pytest.raises(Refusal):
        shop.press(lambda tx: list_edit.rename(tx, hacksaw, "Bandsaw"))


def test_reasons_keep_an_order_without_gaps_wherever_one_is_moved(shop: Shop) -> None:
    for by in (-20, -1, 0, 1, 3, 20):
        listed = [reason.name for reason in list_edit.reasons(shop.floor)]
        third = list_edit.reasons(shop.floor)[2]
        shop.press(lambda tx, r=third, n=by: list_edit.move_reason(tx, r, n))
        at = min(max(2 + by, 0), len(listed) - 1)
        listed.remove(third.name)
        listed.insert(at, third.name)
        assert [reason.name for reason in list_edit.reasons(shop.floor)] == listed
        assert [reason.position for reason in list_edit.reasons(shop.floor)] == list(range(len(listed)))


def test_an_undo_takes_a_rename_back(shop: Shop) -> None:
    stage = shop.stage("Bevel")
    shop.press(lambda tx: list_edit.rename(tx, stage, "Grind"))
    shop.undo()
    assert shop.floor.get(Stage, stage.id).name == "Bevel"


def test_an_action_has_one_key_and_a_key_one_action(shop: Shop) -> None:
    shop.press(lambda tx: set_key(tx, "done", "F5"))
    shop.press(lambda tx: set_key(tx, "done", "F6"))
    assert (action_of(shop.floor, "F5"), action_of(shop.floor, "F6")) == (None, "done")
    with pytest.raises(Refusal, match="for Done already"):
        shop.press(lambda tx: set_key(tx, "next", "F6"))
    shop.press(lambda tx: drop_key(tx, "done"))
    shop.press(lambda tx: drop_key(tx, "done"))
    assert key_for(shop.floor, "done") is None


def test_a_setting_that_is_forgotten_was_never_set(shop: Shop) -> None:
    shop.press(lambda tx: store(tx, "ruler tablet", "5.94"))
    assert ruler(shop.floor, "tablet") == 5.94
    shop.press(lambda tx: forget(tx, "ruler tablet"))
    assert ruler(shop.floor, "tablet") is None
