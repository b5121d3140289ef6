"""Next beside a wait that began by itself, piece by piece."""

from shopclock.shop.work import acts, begin, finish
from tests.shop.workshop import Shop


def test_next_leaves_each_piece_in_the_wait_that_its_own_done_began() -> None:
    shop = Shop(3)
    shop.press(lambda tx: begin.begin(tx, shop.step("Glue"), shop.pieces("ABC")))
    began = {}
    for mark in "AB":
        shop.clock.on(10)
        shop.press(lambda tx: finish.one_done(tx, shop.runs("Glue")))
        began[mark] = shop.clock.now_us
    shop.clock.on(10)
    shop.press(lambda tx: acts.go_on(tx, shop.runs("Glue")))
    began["C"] = shop.clock.now_us
    cures = {shop.floor.marks(i.pieces)[0]: i.start_us for i in shop.floor.running.values()}
    assert cures == began
