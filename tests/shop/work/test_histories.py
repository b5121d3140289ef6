"""Whatever is pressed in whatever order, the sums hold and everything can be taken back."""

import pytest
from hypothesis import given, settings

from tests.plenty import parts, tried
from tests.shop.histories import HISTORIES, SET_UP, play, press_one
from tests.shop.sound import assert_sound, things
from tests.shop.workshop import Shop

History = list[tuple[int, int, int, int]]


def a_shop() -> Shop:
    shop = Shop(n=4)
    shop.new_batch(2)
    assert shop.pressed == SET_UP
    return shop


def check_each_press(history: History) -> None:
    shop = a_shop()
    for which, what, who, gap_us in history:
        shop.clock.on(us=gap_us)
        before = things(shop.floor)
        if press_one(shop, which, what, who):
            assert_sound(shop.floor, shop.clock.now_us)
        else:
            assert things(shop.floor) == before


def check_undo(history: History) -> None:
    shop = a_shop()
    start = things(shop.floor)
    play(shop, history)
    while shop.pressed > SET_UP:
        shop.undo()
        assert_sound(shop.floor, shop.clock.now_us)
    assert things(shop.floor) == start
    assert not shop.floor.running
    assert not shop.floor.labour


@settings(max_examples=600)
@given(HISTORIES)
def test_after_every_press_both_sums_hold_and_a_refused_one_changes_nothing(history: History) -> None:
    check_each_press(history)


@settings(max_examples=150)
@given(HISTORIES)
def test_undo_to_the_start_gives_back_the_start_and_is_sound_on_the_way(history: History) -> None:
    check_undo(history)


@pytest.mark.long
@parts(10)
def test_after_every_press_of_very_many_histories_both_sums_hold(part: int) -> None:
    tried(check_each_press, HISTORIES, 1_000, part)


@pytest.mark.long
@parts(10)
def test_very_many_histories_can_be_taken_back(part: int) -> None:
    tried(check_undo, HISTORIES, 300, part)
