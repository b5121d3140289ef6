"""Right first time: of the pieces that came to a stage, those neither lost there nor reworked because of it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.first_time import FirstTime, all_through, first_time
from shopclock.shop.work import begin, finish, pieces
from tests.shop.histories import HISTORIES, play
from tests.shop.workshop import Shop


def counts(shop: Shop) -> dict[str, tuple[int, int]]:
    names = {shop.stage(name).id: name for name in ("Saw", "Bevel")}
    found = first_time(shop.floor, shop.batch.id, shop.clock.now_us)
    return {names[one.stage_id]: (one.came, one.right) for one in found if one.stage_id in names}


def sawn(n: int, *also: str) -> Shop:
    """A batch through the saw, and through more steps."""
    shop = Shop(n)
    for name in ("Saw", *also):
        step = shop.step(name)
        shop.press(lambda tx, step=step: begin.begin(tx, step))
        shop.clock.on(minutes=30)
        shop.press(begin.stop)
        living = [p.id for p in shop.floor.living(shop.batch.id)]
        shop.press(lambda tx, step=step, living=living: finish.all_through(tx, step, living))
    return shop


def test_all_that_came_were_right() -> None:
    assert counts(sawn(5)) == {"Saw": (5, 5), "Bevel": (0, 0)}


def test_a_piece_lost_at_a_stage_came_and_was_not_right() -> None:
    shop = sawn(5, "Bevel")
    shop.press(lambda tx: pieces.lose(tx, shop.piece("A"), shop.step("Bevel"), "cracked"))
    assert counts(shop) == {"Saw": (5, 5), "Bevel": (5, 4)}


def test_rework_counts_where_it_was_caused() -> None:
    shop = sawn(5, "Bevel")
    shop.press(lambda tx: pieces.rework(tx, shop.piece("B"), shop.step("Bevel"), shop.step("Saw")))
    shop.clock.on(minutes=5)
    shop.press(begin.stop)
    assert counts(shop) == {"Saw": (5, 4), "Bevel": (5, 5)}


def test_a_stage_that_nothing_came_to_has_no_share() -> None:
    assert FirstTime(1, 0, 0).share is None
    assert all_through([None, None]) is None
    assert all_through([]) is None
    assert all_through([0.9, None, 0.5]) == pytest.approx(0.45)


@given(st.lists(st.tuples(st.integers(1, 12), st.integers(0, 12)), min_size=1, max_size=8))
def test_all_through_is_the_product_and_no_more_than_the_least(made: list[tuple[int, int]]) -> None:
    shares = [min(came, right) / came for came, right in made]
    found = all_through(shares)
    assert found is not None
    assert found == pytest.approx(math.prod(shares))
    assert found <= min(shares) + 1e-12


@given(HISTORIES)
def test_whatever_was_pressed_no_more_were_right_than_came(history: list[tuple[int, int, int, int]]) -> None:
    shop = Shop(4)
    shop.new_batch(2)
    play(shop, history)
    for one in first_time(shop.floor, shop.batch.id, shop.clock.now_us):
        assert 0 <= one.right <= one.came
