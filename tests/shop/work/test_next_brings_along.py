"""Who comes along with Next: the pieces in hand, and those that have come so far before them."""

from shopclock.shop.work import acts, begin, finish
from tests.shop.workshop import Shop


def stopped_after_one_done(shop: Shop) -> None:
    """Bevel three, one of them done, then stop and take up the two that are left."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), shop.pieces("ABC")))
    shop.clock.on(10)
    shop.press(lambda tx: finish.one_done(tx, shop.runs("Bevel")))
    shop.press(begin.stop)
    shop.clock.on(30)
    shop.press(acts.carry_on)


def test_a_piece_done_before_a_stop_comes_along_with_the_next_step() -> None:
    shop = Shop(3)
    stopped_after_one_done(shop)
    assert shop.floor.marks(shop.runs("Bevel").pieces) == ["B", "C"]
    shop.press(lambda tx: acts.go_on(tx, shop.runs("Bevel")))
    assert shop.floor.marks(shop.runs("Harden").pieces) == ["A", "B", "C"]


def test_a_piece_that_is_still_to_be_bevelled_stays_behind() -> None:
    shop = Shop(3)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel"), shop.pieces("AB")))
    shop.clock.on(10)
    shop.press(lambda tx: acts.go_on(tx, shop.runs("Bevel")))
    assert shop.floor.marks(shop.runs("Harden").pieces) == ["A", "B"]


def test_next_does_not_offer_the_wait_that_the_pieces_are_in() -> None:
    shop = Shop(2)
    for name in ("Saw", "Bevel", "Harden"):
        shop.press(lambda tx, name=name: begin.begin(tx, shop.step(name), shop.pieces("AB")))
        shop.clock.on(5)
    shop.press(lambda tx: acts.go_on(tx, shop.runs("Harden")))
    shop.press(lambda tx: begin.begin(tx, shop.step("Scales"), shop.pieces("AB")))
    assert shop.runs("Temper").running
    assert finish.next_step(shop.floor, shop.step("Scales"), shop.pieces("AB")) is None
