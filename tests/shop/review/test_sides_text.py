"""An entry that shop and desk have differently is told in plain words: what it was, what each of them says."""

from dataclasses import replace

from shopclock.shop.planning import orders
from shopclock.shop.review.change_text import SidesText, entry_name, sides
from shopclock.shop.values.entities import Interval, Pattern
from shopclock.shop.work import begin
from tests.shop.workshop import MINUTE_US, Shop


def test_a_stretch_is_named_by_its_step_and_day_and_its_times_stand_beside_each_other() -> None:
    shop = Shop(3)
    step = next(s for s in shop.floor.steps(shop.batch.id) if s.kind.attended)
    shop.press(lambda tx: begin.begin(tx, step))
    shop.clock.on(us=30 * MINUTE_US)
    shop.press(begin.stop)
    was = next(shop.floor.all(Interval))
    assert was.end_us is not None
    here, there = (replace(was, end_us=was.end_us - minutes * MINUTE_US) for minutes in (5, 9))
    assert entry_name(shop.floor, was).startswith(f"{step.name}, {shop.batch.name}, A–C, ")
    (said,) = sides(shop.floor, was, here, there)
    assert said.what == "end"
    assert len({said.was, said.shop, said.desk}) == 3


def test_what_one_side_took_away_is_said_so() -> None:
    shop = Shop(3)
    order = shop.press(lambda tx: orders.take_order(tx, "Nora Quist", next(shop.floor.all(Pattern)), 3))
    assert entry_name(shop.floor, order) == "Order Nora Quist"
    assert sides(shop.floor, order, None, replace(order, wanted=5)) == [SidesText("", "there", "taken away", "there")]
    assert sides(shop.floor, order, replace(order, wanted=4), replace(order, wanted=5)) == [
        SidesText("wanted", "3", "4", "5")
    ]
