"""Whatever is amended of whatever was pressed, the sums hold and everything can be taken back."""

import pytest
from hypothesis import given, settings

from tests.plenty import parts, tried
from tests.shop.amendments import AMENDED, Amendment, amend_one
from tests.shop.histories import SET_UP, play
from tests.shop.sound import assert_sound, things
from tests.shop.workshop import Shop

Amended = tuple[list[tuple[int, int, int, int]], list[Amendment]]


def a_shop() -> Shop:
    shop = Shop(n=4)
    shop.new_batch(2)
    assert shop.pressed == SET_UP
    return shop


def check_each(amended: Amended) -> None:
    shop = a_shop()
    play(shop, amended[0])
    for amendment in amended[1]:
        before = things(shop.floor)
        if amend_one(shop, amendment):
            assert_sound(shop.floor, shop.clock.now_us)
        else:
            assert things(shop.floor) == before


def check_undo(amended: Amended) -> None:
    shop = a_shop()
    start = things(shop.floor)
    play(shop, amended[0])
    for amendment in amended[1]:
        amend_one(shop, amendment)
    while shop.pressed > SET_UP:
        shop.undo()
        assert_sound(shop.floor, shop.clock.now_us)
    assert things(shop.floor) == start
    assert not shop.floor.hands.continued


@settings(max_examples=400)
@given(AMENDED)
def test_after_every_amendment_both_sums_hold_and_a_refused_one_changes_nothing(amended: Amended) -> None:
    check_each(amended)


@settings(max_examples=150)
@given(AMENDED)
def test_undo_of_amendments_gives_back_the_start_and_is_sound_on_the_way(amended: Amended) -> None:
    check_undo(amended)


@pytest.mark.long
@parts(20)
def test_after_every_amendment_of_very_many_both_sums_hold(part: int) -> None:
    tried(check_each, AMENDED, 1_000, part)


@pytest.mark.long
@parts(10)
def test_very_many_amendments_can_be_taken_back(part: int) -> None:
    tried(check_undo, AMENDED, 500, part)
