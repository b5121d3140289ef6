"""Whose minutes a stretch was: shared, or one by one; splits, losses, set-up, rework."""

import pytest

from shopclock.shop.values.entities import Interval, Method
from shopclock.shop.work import adjust, begin, finish, pieces
from tests.shop.workshop import MINUTE_US, Shop

Minutes = dict[str, float]


def got(shop: Shop, step: str) -> Minutes:
    """Minutes of each piece at a step."""
    found: dict[str, float] = {}
    for interval in shop.floor.all(Interval):
        if interval.step_id == shop.step(step).id:
            for piece, us in shop.floor.shares.get(interval.id, ()):
                mark = shop.floor.marks([piece])[0]
                found[mark] = found.get(mark, 0) + us / MINUTE_US
    return found


def start(shop: Shop, step: str, marks: str | None = None) -> None:
    chosen = shop.pieces(marks) if marks is not None else None
    shop.press(lambda tx: begin.begin(tx, shop.step(step), chosen))


def done(shop: Shop, minutes: float) -> None:
    shop.clock.on(minutes)
    shop.press(lambda tx: finish.one_done(tx, shop.runs()))


def stop(shop: Shop, minutes: float) -> None:
    shop.clock.on(minutes)
    shop.press(begin.stop)


def test_in_rounds_all_covered_share_equally() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    done(shop, 10)
    stop(shop, 20)
    assert got(shop, "Saw") == {"A": 10, "B": 10, "C": 10}


def test_one_by_one_the_stretch_up_to_a_done_belongs_to_that_piece() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    done(shop, 10)
    done(shop, 14)
    done(shop, 12)
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 10, "B": 14, "C": 12}


def test_what_is_left_at_the_end_is_shared_by_those_not_yet_done() -> None:
    shop = Shop(3)
    start(shop, "Bevel")
    done(shop, 10)
    stop(shop, 8)
    assert got(shop, "Bevel") == {"A": 10, "B": 4, "C": 4}


def test_what_is_left_when_all_are_done_is_shared_by_all() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    done(shop, 10)
    done(shop, 20)
    stop(shop, 6)
    assert got(shop, "Bevel") == {"A": 13, "B": 23}


def test_a_pause_begins_a_new_stretch() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    stop(shop, 6)
    shop.clock.on(600)
    shop.press(begin.carry_on)
    done(shop, 10)
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 13, "B": 3}


def test_another_method_splits_without_beginning_a_new_stretch() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.clock.on(6)
    jig = next(m for m in shop.floor.all(Method) if m.name == "jig")
    shop.press(lambda tx: adjust.use_method(tx, shop.runs(), jig))
    done(shop, 4)
    done(shop, 7)
    stop(shop, 0)
    assert got(shop, "Bevel") == {"A": 10, "B": 7}
    assert len(list(shop.floor.all(Interval))) == 2


def test_when_a_piece_is_lost_the_interval_goes_on_without_it() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    shop.clock.on(9)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("C"), shop.step("Saw"), "cracked"))
    stop(shop, 4)
    assert got(shop, "Saw") == {"A": 5, "B": 5, "C": 3}


def test_set_up_is_nobodys_stretch() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    shop.clock.on(8)
    shop.press(lambda tx: adjust.now_running(tx, shop.runs()))
    done(shop, 10)
    stop(shop, 2)
    assert got(shop, "Bevel") == {"A": 14, "B": 6}


def test_done_ends_set_up() -> None:
    shop = Shop(2)
    start(shop, "Bevel")
    shop.press(lambda tx: adjust.set_up(tx, shop.runs()))
    done(shop, 10)
    assert shop.runs().work.value == "run"


@pytest.mark.parametrize("us", [1, 2, 3, 100, 101])
def test_microseconds_that_do_not_divide_go_to_the_first_marks(us: int) -> None:
    shop = Shop(3)
    start(shop, "Saw")
    shop.clock.on(us=us)
    shop.press(begin.stop)
    shares = [amount for _, amount in shop.floor.shares[1]]
    assert sum(shares) == us
    assert shares == sorted(shares, reverse=True)
    assert shares[0] - shares[-1] <= 1


def test_both_at_once_every_piece_under_the_hands_gets_the_same() -> None:
    shop = Shop(3)
    start(shop, "Saw")
    small = shop.new_batch(1)
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", small), together=True))
    stop(shop, 40)
    assert [us / MINUTE_US for share in shop.floor.shares.values() for _, us in share] == [10, 10, 10, 10]
