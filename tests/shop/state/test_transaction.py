"""One press while it is worked out: things are added and changed whole, and it can all be taken back."""

from dataclasses import fields, replace

import pytest

from shopclock.shop.state.transaction import Transaction, net
from shopclock.shop.values.entities import Piece, RouteStep, Scales, Step, StepPlan
from shopclock.shop.values.kinds import Kind
from tests.shop.workshop import Numbers, Shop


@pytest.fixture
def shop() -> Shop:
    return Shop(2)


@pytest.fixture
def tx(shop: Shop) -> Transaction:
    return Transaction(shop.floor, Numbers(), shop.clock.now_us, 1)


def test_what_is_added_gets_its_number_and_its_uuid(shop: Shop, tx: Transaction) -> None:
    plain = Scales(number="12", piece_id=shop.piece("A").id)
    first, second = tx.add(plain), tx.add(plain)
    assert (first.id, second.id) == (1, 2)
    assert first.uuid
    assert first.uuid != second.uuid
    assert (plain.id, plain.uuid) == (0, "")
    assert [one.number for one in shop.floor.all(Scales)] == ["12", "12"]


def test_a_change_starts_from_what_the_floor_holds_now(shop: Shop, tx: Transaction) -> None:
    stale = shop.piece("A")
    tx.change(replace(tx.current(stale), mark="x"))
    tx.change(replace(tx.current(stale), number="7"))
    now = shop.floor.get(Piece, stale.id)
    assert (now.mark, now.number) == ("x", "7")
    assert [(change.before, change.after) for change in net(tx.changes)] == [(stale, now)]


def test_nothing_is_noted_where_nothing_differs(shop: Shop, tx: Transaction) -> None:
    piece = shop.piece("A")
    assert tx.change(replace(tx.current(piece), mark=piece.mark)) == piece
    assert tx.changes == []


def test_what_is_not_on_the_floor_cannot_be_changed(tx: Transaction) -> None:
    with pytest.raises(KeyError):
        tx.change(Scales(id=99, number="12", piece_id=None))


def test_a_press_can_be_taken_back_whole(shop: Shop, tx: Transaction) -> None:
    piece = shop.piece("A")
    tx.add(Scales(number="12", piece_id=piece.id))
    tx.change(replace(tx.current(piece), mark="x"))
    tx.drop(shop.piece("B"))
    tx.take_back()
    assert list(shop.floor.all(Scales)) == []
    assert shop.floor.get(Piece, piece.id) == piece
    assert shop.floor.marks(p.id for p in shop.floor.pieces(piece.batch_id)) == ["A", "B"]


def test_a_step_of_a_batch_takes_all_of_its_plan_from_the_route() -> None:
    planned = RouteStep(
        id=3, uuid="u", route_id=4, position=5, stage_id=6, name="Cure", kind=Kind.WAIT, one_by_one=True,
        strand="handle", begins_itself=True, wait_us=7, minutes_us=8, setup_us=9, tool_id=10, tool_share=2.0,
        setting="200 °C", coldest_c=11.0, warmest_c=12.0, caution="Hot.", common_practice=True,
    )  # fmt: skip
    step = planned.in_batch(13)
    names = {field.name for field in fields(StepPlan)} - {"id", "uuid"}
    assert {name: getattr(step, name) for name in names} == {name: getattr(planned, name) for name in names}
    assert (step.id, step.uuid, step.batch_id, step.route_step_id) == (0, "", 13, 3)
    assert names == {field.name for field in fields(Step)} - {"id", "uuid", "batch_id", "route_step_id", "state"}
