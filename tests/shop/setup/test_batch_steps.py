"""A step that one batch has beside its route, and the close of a batch with how each piece ends."""

from __future__ import annotations

import pytest

from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.setup.route_edit import add_batch_step
from shopclock.shop.values.entities import Batch, Piece
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work.batches import Ending, close_batch, close_with
from shopclock.shop.work.begin import begin
from shopclock.shop.work.finish import all_through
from shopclock.shop.work.piece_progress import through
from shopclock.shop.work.pieces import make_second, set_number
from tests.shop.workshop import Shop


@pytest.fixture
def shop() -> Shop:
    return Shop(4)


def names(shop: Shop) -> list[str]:
    return [step.name for step in shop.floor.steps(shop.batch.id)]


@pytest.mark.parametrize(("after", "at"), [(None, 0), ("Saw", 1), ("Sharpen", 8)])
def test_a_step_stands_where_it_was_put_and_only_in_this_batch(shop: Shop, after: str | None, at: int) -> None:
    before = names(shop)
    place = shop.step(after) if after is not None else None
    step = shop.press(lambda tx: add_batch_step(tx, shop.batch, shop.stage("Harden"), place))
    assert names(shop) == [*before[:at], "Harden", *before[at:]]
    assert [s.position for s in shop.floor.steps(shop.batch.id)] == list(range(len(before) + 1))
    assert step.route_step_id is None
    assert len(route_steps(shop.floor, newest_route(shop.floor, shop.pattern))) == len(before)
    shop.undo()
    assert names(shop) == before


def test_it_follows_in_the_strand_of_the_step_before(shop: Shop) -> None:
    step = shop.press(lambda tx: add_batch_step(tx, shop.batch, shop.stage("Saw"), shop.step("Scales")))
    assert step.strand == "handle"


def test_pieces_that_are_further_on_are_through_it(shop: Shop) -> None:
    shop.press(lambda tx: all_through(tx, shop.step("Bevel"), shop.pieces("AB")))
    step = shop.press(lambda tx: add_batch_step(tx, shop.batch, shop.stage("Harden"), shop.step("Saw")))
    assert through(shop.floor, shop.batch.id)[step.id] == set(shop.pieces("AB"))


def test_a_closed_batch_gets_no_step(shop: Shop) -> None:
    shop.press(lambda tx: close_batch(tx, shop.batch, {}, ""))
    closed = shop.floor.get(Batch, shop.batch.id)
    with pytest.raises(Refusal, match="is closed"):
        shop.press(lambda tx: add_batch_step(tx, closed, shop.stage("Saw"), None))


def test_each_piece_ends_as_it_was_told_and_what_runs_ends_with_it(shop: Shop) -> None:
    shop.press(lambda tx: begin(tx, shop.step("Saw")))
    shop.clock.on(10)
    shop.press(lambda tx: make_second(tx, shop.piece("B")))
    lost = Ending(Outcome.SCRAPPED, shop.step("Saw"), "dropped")
    endings = {shop.piece("A").id: lost, shop.piece("C").id: Ending(Outcome.KEPT)}
    shop.press(lambda tx: close_with(tx, shop.batch, endings, " thinner "))
    ended = {piece.mark: piece.outcome for piece in shop.floor.pieces(shop.batch.id)}
    assert ended == {"A": Outcome.SCRAPPED, "B": Outcome.SECOND, "C": Outcome.KEPT, "D": Outcome.FINISHED}
    assert (shop.piece("A").reason, shop.piece("A").lost_step_id) == ("dropped", shop.step("Saw").id)
    assert shop.floor.running == {}
    assert shop.floor.get(Batch, shop.batch.id).next_time == "thinner"


def test_a_number_belongs_to_one_piece_at_hand(shop: Shop) -> None:
    shop.press(lambda tx: set_number(tx, shop.piece("A"), " 118 "))
    assert shop.piece("A").number == "118"
    with pytest.raises(Refusal, match="A of"):
        shop.press(lambda tx: set_number(tx, shop.piece("B"), "118"))
    shop.press(lambda tx: set_number(tx, shop.piece("A"), ""))
    shop.press(lambda tx: set_number(tx, shop.piece("B"), ""))
    assert {piece.number for piece in shop.floor.all(Piece)} == {""}
