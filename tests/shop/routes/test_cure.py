"""A cure in a shop that is not at 25 °C: the rate doubles every 10 °C (common practice, no source)."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.routes import cure
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work import begin
from shopclock.shop.work.piece_progress import over, ready_at
from tests.shop.workshop import MINUTE_US, Shop

HOUR_US = 60 * MINUTE_US


@pytest.mark.parametrize(
    ("shop_c", "hours"), [(25, 24), (15, 48), (35, 12), (20, 24 * 2**0.5), (18, 24 * 2**0.7), (10, 24 * 2**1.5)]
)
def test_ten_degrees_less_take_twice_as_long(shop_c: float, hours: float) -> None:
    found = cure.cure_us(24 * HOUR_US, shop_c)
    assert found is not None
    assert found == pytest.approx(hours * HOUR_US, abs=1)


@given(st.floats(10, 25), st.integers(1, 10**12))
def test_ten_degrees_are_a_factor_of_two_wherever_one_begins(shop_c: float, figure_us: int) -> None:
    cold, warm = cure.cure_us(figure_us, shop_c), cure.cure_us(figure_us, shop_c + 10)
    assert cold is not None
    assert warm is not None
    assert abs(cold - 2 * warm) <= 2


@pytest.mark.parametrize("shop_c", [9.9, 35.1, -4, 60])
def test_outside_10_to_35_degrees_there_is_no_figure(shop_c: float) -> None:
    assert cure.cure_us(24 * HOUR_US, shop_c) is None


@pytest.mark.parametrize(("typed", "shop_c"), [("18", 18), ("18.5", 18.5), ("18,5", 18.5), ("64", 17.8), ("95", 35)])
def test_a_typed_temperature_is_celsius_or_where_that_cannot_be_fahrenheit(typed: str, shop_c: float) -> None:
    assert cure.typed_c(typed) == pytest.approx(shop_c)


@pytest.mark.parametrize("typed", ["9", "40", "200", "warm", "", "nan"])
def test_what_is_no_temperature_of_a_shop_is_refused_in_a_sentence(typed: str) -> None:
    with pytest.raises(Refusal, match="Nothing was changed"):
        cure.typed_c(typed)


def test_a_wait_that_follows_it_is_ready_later_and_a_heat_is_never_followed() -> None:
    shop = Shop(3)
    step = next(s for s in shop.floor.steps(shop.batch.id) if s.kind is Kind.WAIT and s.wait_us and not s.setting)
    wait = shop.press(lambda tx: begin.begin(tx, step))
    ready = ready_at(shop.floor, wait)
    assert ready is not None
    shop.press(lambda tx: cure.follow(tx, wait, 15.0))
    now = shop.floor.get(Interval, wait.id)
    assert ready_at(shop.floor, now) == wait.start_us + 2 * (ready - wait.start_us)
    assert not over(shop.floor, now, ready)
    assert cure.newest_c(shop.floor) == 15.0
    assert cure.can_follow(shop.floor, now)
    shop.press(lambda tx: tx.change(replace(tx.current(step), setting="200 °C")))
    assert not cure.can_follow(shop.floor, now)


def test_a_wait_that_is_no_cure_does_not_follow() -> None:
    shop = Shop(3)
    wait = shop.press(lambda tx: begin.begin(tx, shop.step("Cure")))
    assert cure.can_follow(shop.floor, wait)
    shop.press(lambda tx: tx.change(replace(tx.current(shop.step("Cure")), coldest_c=None, warmest_c=None)))
    assert not cure.can_follow(shop.floor, wait)


@pytest.mark.parametrize(("shop_c", "allowed"), [(14.9, False), (15, True), (30, True), (30.1, False)])
def test_outside_the_makers_own_limits_there_is_no_figure(shop_c: float, allowed: bool) -> None:
    shop = Shop(3)
    shop.press(lambda tx: tx.change(replace(tx.current(shop.step("Cure")), **cure.set_span("15", "86"))))
    wait = shop.press(lambda tx: begin.begin(tx, shop.step("Cure")))
    if allowed:
        shop.press(lambda tx: cure.follow(tx, wait, shop_c))
        assert shop.now(wait).shop_c == shop_c
    else:
        with pytest.raises(Refusal, match="The makers of this resin allow 15 to 30 °C"):
            shop.press(lambda tx: cure.follow(tx, wait, shop_c))
        assert shop.now(wait).shop_c is None


def test_limits_that_cross_are_refused() -> None:
    with pytest.raises(Refusal, match=r"30 °C is warmer than 20 °C\. Nothing was changed"):
        cure.set_span("30", "20")
