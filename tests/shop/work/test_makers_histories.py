"""Whatever two makers press in whatever order: each maker's sum is exact, no piece is in two hands."""

from collections.abc import Callable
from typing import TypeVar

import pytest
from hypothesis import given, settings

from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Maker
from tests.plenty import parts, tried
from tests.shop.histories import HISTORIES, press_one
from tests.shop.sound import assert_sound, things
from tests.shop.workshop import Shop

T = TypeVar("T")
History = list[tuple[int, int, int, int]]


class TwoHands(Shop):
    """A shop in which `by` says whose the next press is."""

    def __init__(self) -> None:
        super().__init__(n=4)
        self.by = 1
        self.new_batch(2)
        self.floor.put(Maker(id=2, uuid="sam", name="Sam"))

    def press(self, rule: Callable[[Transaction], T]) -> T:
        """Press by the hands that are to."""

        def by_them(tx: Transaction) -> T:
            tx.maker_id = getattr(self, "by", 1)
            return rule(tx)

        return super().press(by_them)


def check_two(history: History) -> None:
    shop = TwoHands()
    for which, what, who, gap_us in history:
        shop.clock.on(us=gap_us)
        shop.by = 1 + (who >> 3) % 2
        before = things(shop.floor)
        if press_one(shop, which, what, who):
            assert_sound(shop.floor, shop.clock.now_us)
        else:
            assert things(shop.floor) == before


@settings(max_examples=400)
@given(HISTORIES)
def test_after_every_press_of_two_makers_the_sums_of_each_hold(history: History) -> None:
    check_two(history)


@pytest.mark.long
@parts(10)
def test_after_every_press_of_very_many_histories_of_two_makers_the_sums_hold(part: int) -> None:
    tried(check_two, HISTORIES, 1_000, part)
