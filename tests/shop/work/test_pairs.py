"""A pair of scales belongs on one piece; a mix-up is pointed out and put right."""

import pytest

from shopclock.shop.values.entities import Scales
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work import batches, pairs
from tests.shop.workshop import Shop


def tie(shop: Shop, mark: str, number: str) -> Scales | None:
    return shop.press(lambda tx: pairs.tie(tx, shop.piece(mark), number))


def test_a_pair_is_tied_and_taken_off_again_and_stays_a_pair() -> None:
    shop = Shop()
    pair = tie(shop, "A", " 12 ")
    assert pair is not None
    shop.press(lambda tx: pairs.set_note(tx, pair, "plum  burl"))
    assert pairs.pair_said(shop.floor, shop.piece("A")) == "12, plum burl"
    assert tie(shop, "A", "") is None
    assert pairs.pair_of(shop.floor, shop.piece("A")) is None
    tie(shop, "B", "12")
    assert pairs.pair_said(shop.floor, shop.piece("B")) == "12, plum burl"


def test_a_pair_that_is_on_another_piece_is_a_mix_up_and_told() -> None:
    shop = Shop()
    tie(shop, "A", "k7")
    with pytest.raises(Refusal, match=rf"Pair K7 is on A of {shop.batch.name}\. Nothing was changed\."):
        tie(shop, "B", "K7")
    assert pairs.taken_by(shop.floor, "K7", shop.piece("B")) == shop.piece("A")
    assert pairs.taken_by(shop.floor, "k7", shop.piece("A")) is None


@pytest.mark.parametrize("mine", ["", "3"])
def test_two_that_were_mixed_up_are_swapped(mine: str) -> None:
    shop = Shop()
    tie(shop, "A", "7")
    tie(shop, "B", mine)
    shop.press(lambda tx: pairs.swap(tx, shop.piece("B"), shop.piece("A")))
    assert pairs.pair_said(shop.floor, shop.piece("B")) == "7"
    assert pairs.pair_said(shop.floor, shop.piece("A")) == mine
    assert len(list(shop.floor.all(Scales))) == (2 if mine else 1)


def test_another_number_leaves_the_first_pair_free() -> None:
    shop = Shop()
    tie(shop, "A", "7")
    tie(shop, "A", "8")
    assert {pair.number: pair.piece_id for pair in shop.floor.all(Scales)} == {"7": None, "8": shop.piece("A").id}


def test_the_same_again_changes_nothing() -> None:
    shop = Shop()
    assert tie(shop, "A", "7") == tie(shop, "A", "7")


def test_numbers_of_closed_batches_come_again() -> None:
    shop = Shop()
    tie(shop, "A", "1")
    ends = {piece.id: Outcome.FINISHED for piece in shop.floor.pieces(shop.batch.id)}
    shop.press(lambda tx: batches.close_batch(tx, shop.batch, ends, ""))
    old, shop.batch = shop.batch, shop.new_batch(2)
    tie(shop, "A", "1")
    assert [pairs.pair_said(shop.floor, shop.piece("A", b)) for b in (old, shop.batch)] == ["1", "1"]


def test_a_number_that_no_scale_has_room_for_is_refused() -> None:
    with pytest.raises(Refusal, match="is too long for a pair's number"):
        tie(Shop(), "A", "1" * 13)
