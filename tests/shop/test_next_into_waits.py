"""Next beside a wait that began by itself, piece by piece."""

from shopclock.shop import begin, finish
from tests.shop.workshop import Shop


def test_next_leaves_each_piece_in_the_wait_that_its_own_done_began() -> None:
    shop = Shop(3)
    shop.press(lambda turn: begin.begin(turn, shop.step("Glue"), shop.pieces("ABC")))
    began = {}
    for mark in "AB":
        shop.clock.on(10)
        shop.press(lambda turn: finish.one_done(turn, shop.runs("Glue")))
        began[mark] = shop.clock.now_us
    shop.clock.on(10)
    shop.press(lambda turn: finish.go_on(turn, shop.runs("Glue")))
    began["C"] = shop.clock.now_us
    cures = {shop.floor.marks(i.pieces)[0]: i.start_us for i in shop.floor.running.values()}
    assert cures == began
