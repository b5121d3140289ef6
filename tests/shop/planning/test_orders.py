"""Orders: nothing is promised twice, nothing lost is promised, what is free is seen."""

from datetime import date

import pytest

from shopclock.shop.planning import orders
from shopclock.shop.setup import patterns
from shopclock.shop.values.entities import CustomerOrder, OrderPiece, OrderState
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work import batches, pieces
from tests.shop.workshop import ROUTE, Shop

DAY = date(2026, 12, 12)


def take(shop: Shop, who: str = "Brook", wanted: int = 2, day: date | None = DAY) -> CustomerOrder:
    return shop.press(lambda tx: orders.take_order(tx, who, shop.pattern, wanted, day))


def tie(shop: Shop, order: CustomerOrder, marks: str) -> None:
    for mark in marks:
        shop.press(lambda tx, mark=mark: orders.tie(tx, order, shop.piece(mark)))


def free(shop: Shop) -> str:
    return "".join(piece.mark for found in orders.unpromised(shop.floor) for piece in found.pieces)


def test_pieces_go_to_one_order_and_the_rest_is_unpromised() -> None:
    shop = Shop(4)
    order = take(shop)
    assert orders.missing(shop.floor, order) == 2
    tie(shop, order, "AC")
    assert free(shop) == "BD"
    assert orders.missing(shop.floor, order) == 0
    assert [p.mark for p in orders.pieces_of(shop.floor, order)] == ["A", "C"]
    assert orders.batches_of(shop.floor, order) == (shop.batch.id,)
    shop.undo()
    assert free(shop) == "BCD"
    shop.press(lambda tx: orders.untie(tx, shop.piece("A")))
    assert free(shop) == "ABCD"


def test_what_is_lost_is_missing_again() -> None:
    shop = Shop(3)
    order = take(shop)
    tie(shop, order, "AB")
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), None, "cracked"))
    assert orders.missing(shop.floor, order) == 1
    tie(shop, order, "C")
    assert orders.missing(shop.floor, order) == 0


def test_seconds_and_what_was_set_aside_are_promised_to_nobody() -> None:
    shop = Shop(3)
    shop.press(lambda tx: pieces.make_second(tx, shop.piece("A")))
    shop.press(lambda tx: pieces.set_aside(tx, shop.piece("B")))
    assert free(shop) == "C"


def test_of_one_pattern_alone() -> None:
    shop = Shop(1)
    other = shop.press(lambda tx: patterns.copy_route(tx, ROUTE, "Cheese"))
    shop.press(lambda tx: batches.start_batch(tx, other, 2, "26-90"))
    assert [len(f.pieces) for f in orders.unpromised(shop.floor, other)] == [2]
    order = shop.press(lambda tx: orders.take_order(tx, "Brook", other, 1))
    with pytest.raises(Refusal, match="is no Cheese, as Brook wants"):
        tie(shop, order, "A")


def test_what_makes_no_sense_is_refused() -> None:
    shop = Shop(3)
    one, two = take(shop, "Brook", 1), take(shop, "Fenn", 2)
    tie(shop, one, "A")
    with pytest.raises(Refusal, match=r"A of .* goes to Brook already"):
        tie(shop, two, "A")
    with pytest.raises(Refusal, match="Brook has all 1"):
        tie(shop, one, "B")
    shop.press(lambda tx: pieces.end_piece(tx, shop.piece("B"), Outcome.KEPT))
    with pytest.raises(Refusal, match=r"B of .* was kept"):
        tie(shop, two, "B")
    tie(shop, two, "C")
    three = shop.press(lambda tx: orders.set_wanted(tx, two, 1))
    assert three.wanted == 1
    with pytest.raises(Refusal, match="for 1 to 200"):
        take(shop, wanted=0)
    with pytest.raises(Refusal, match="2026-10-23 has gone by"):
        take(shop, day=date(2026, 10, 23))
    with pytest.raises(Refusal, match="has gone by"):
        shop.press(lambda tx: orders.promise(tx, two, date(2020, 1, 1)))


def test_fewer_than_are_tied_is_refused() -> None:
    shop = Shop(3)
    order = take(shop)
    tie(shop, order, "AB")
    with pytest.raises(Refusal, match="2 are tied to Brook"):
        shop.press(lambda tx: orders.set_wanted(tx, order, 1))


def test_a_cancelled_order_frees_its_pieces_and_a_done_one_keeps_them() -> None:
    shop = Shop(3)
    one, two = take(shop, "Brook", 1), take(shop, "Fenn", 1)
    tie(shop, one, "A")
    tie(shop, two, "B")
    shop.press(lambda tx: orders.end_order(tx, one, OrderState.CANCELLED))
    shop.press(lambda tx: orders.end_order(tx, two, OrderState.DONE))
    assert free(shop) == "AC"
    assert orders.open_orders(shop.floor) == ()
    ended = shop.floor.get(CustomerOrder, two.id)
    with pytest.raises(Refusal, match="order of Fenn is done"):
        shop.press(lambda tx: orders.tie(tx, ended, shop.piece("C")))
    shop.undo()
    shop.undo()
    assert len(list(shop.floor.all(OrderPiece))) == 2


def test_orders_stand_by_promise() -> None:
    shop = Shop(1)
    for who, day in (("Late", date(2027, 1, 2)), ("None", None), ("Soon", date(2026, 11, 2))):
        take(shop, who, 1, day)
    assert [o.who for o in orders.open_orders(shop.floor)] == ["Soon", "Late", "None"]
    assert orders.promised_day(orders.open_orders(shop.floor)[0]) == date(2026, 11, 2)
    assert orders.promised_day(orders.open_orders(shop.floor)[2]) is None


def test_price_and_deposit_are_kept_exactly() -> None:
    shop = Shop(1)
    order = take(shop)
    shop.press(lambda tx: orders.set_price(tx, order, "240,10"))
    shop.press(lambda tx: orders.set_deposit(tx, order, "100"))
    shop.press(lambda tx: orders.set_note(tx, order, " left  handed "))
    kept = shop.floor.get(CustomerOrder, order.id)
    assert (kept.price, kept.deposit, kept.currency) == ("240.10", "100", "EUR")
    assert kept.note == "left handed"
    assert shop.press(lambda tx: orders.set_price(tx, kept, "")).price is None


def reserved(shop: Shop, order: CustomerOrder) -> str:
    return "".join(sorted(piece.mark for piece in orders.pieces_of(shop.floor, order)))


def test_a_promise_reserves_what_it_lacks_and_leaves_what_earlier_ones_need() -> None:
    """Of six pieces two are Brook's by letter, one more is Ash's without one: Fen gets the three that are left."""
    shop = Shop(6)
    brook, ash, fen = take(shop), take(shop, "Ash", 1, date(2026, 12, 1)), take(shop, "Fenn", 5, date(2026, 12, 24))
    tie(shop, brook, "AB")
    assert orders.to_promise(shop.floor) == 0
    shop.press(lambda tx: orders.reserve(tx, fen))
    assert reserved(shop, fen) == "DEF"
    assert (orders.short(shop.floor, fen), orders.short(shop.floor, ash)) == (2, 0)
    assert orders.over_promised(shop.floor) == {shop.pattern.id: 2}
    shop.press(lambda tx: orders.reserve(tx, ash))
    assert reserved(shop, ash) == "C"
    assert orders.over_promised(shop.floor) == {shop.pattern.id: 2}
    shop.press(lambda tx: orders.end_order(tx, brook, OrderState.CANCELLED))
    assert orders.over_promised(shop.floor) == {}
    assert orders.to_promise(shop.floor) == 0, "the two that Brook had are needed for Fenn"
    shop.press(lambda tx: orders.reserve(tx, fen))
    assert reserved(shop, fen) == "ABDEF"


def test_another_piece_takes_the_place_of_a_lost_one_first_of_the_same_batch() -> None:
    shop = Shop(3)
    other = shop.press(lambda tx: batches.start_batch(tx, shop.pattern, 2, "26-90"))
    order = take(shop, "Brook", 2)
    tie(shop, order, "AB")
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), None, "cracked"))
    found = orders.replacement(shop.floor, order, shop.piece("A"))
    assert found == shop.piece("C")
    shop.press(lambda tx: orders.instead(tx, order, shop.piece("A"), found))
    assert reserved(shop, order) == "BC"
    shop.press(lambda tx: pieces.lose(tx, shop.piece("C"), None, "cracked"))
    assert orders.replacement(shop.floor, order, shop.piece("C")) == shop.piece("A", other)
    shop.press(lambda tx: orders.instead(tx, order, shop.piece("C"), None))
    assert (orders.missing(shop.floor, order), orders.short(shop.floor, order)) == (1, 0)
