"""What blades do to oil: sums that hold, and sentences for what makes no sense."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.setup import quench_oil
from shopclock.shop.setup.quench_oil import (
    Bath,
    blades_before_too_warm,
    heat,
    rise,
    rise_text_with_caution,
    specific_heat,
)
from shopclock.shop.values.errors import Refusal

BATH = Bath(10, 40, 80)


@given(st.floats(20, 1200), st.floats(20, 1200))
def test_heat_is_the_area_under_specific_heat(a: float, b: float) -> None:
    """Against a plain sum of thin strips."""
    low, high = sorted((a, b))
    n = 20_000
    width = (high - low) / n
    strips = sum(specific_heat(low + (i + 0.5) * width) for i in range(n)) * width
    assert heat(high, low) == pytest.approx(strips, rel=2e-3, abs=1e-6)
    assert heat(low, high) == pytest.approx(-heat(high, low), abs=1e-6)


def test_twice_the_oil_halves_the_rise_and_a_warm_bath_takes_less() -> None:
    one = rise(BATH, 0.3, 800, 50)
    assert rise(Bath(20, 40, 80), 0.3, 800, 50) == pytest.approx(one / 2)
    assert rise(BATH, 0.3, 800, 79) < one


@given(st.floats(0.05, 2), st.floats(750, 1100), st.floats(40, 80), st.floats(1, 60))
def test_so_many_and_no_more(kg: float, hot: float, oil: float, litres: float) -> None:
    bath = Bath(litres, 40, 80)
    n, at = blades_before_too_warm(bath, kg, hot, oil), oil
    for _ in range(n):
        at += rise(bath, kg, hot, at)
    assert at <= 80
    assert n == quench_oil.MOST_BLADES or at + rise(bath, kg, hot, at) > 80


@pytest.mark.parametrize(
    ("bath", "kg", "hot", "oil", "says"),
    [
        (Bath(0, 40, 80), 0.3, 800, 50, "have to be above 0"),
        (BATH, 0, 800, 50, "have to be above 0"),
        (Bath(10, 80, 40), 0.3, 800, 50, "outside 80 to 40"),
        (BATH, 0.3, 1300, 50, "from 20 to 1200 °C"),
        (BATH, 0.3, float("nan"), 50, "from 20 to 1200 °C"),
        (BATH, 0.3, 800, 30, "outside 40 to 80 °C already"),
    ],
)
def test_what_makes_no_sense_is_a_sentence(bath: Bath, kg: float, hot: float, oil: float, says: str) -> None:
    with pytest.raises(Refusal, match=says):
        rise_text_with_caution(bath, kg, hot, oil)


@pytest.mark.parametrize(
    ("litres", "kg", "says"),
    [(10, 0.3, "4 in a row stay"), (1, 0.3, "even one doesn't"), (900, 0.1, "100 in a row and more")],
)
def test_it_is_said_with_its_caution(litres: float, kg: float, says: str) -> None:
    line = rise_text_with_caution(Bath(litres, 40, 90), kg, 800, 50)
    assert says in line
    assert line.endswith("the makers of oil and steel have the last word.")
