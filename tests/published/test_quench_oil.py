"""Specific heat of steel and the trade's rule for oil, against shared/published/quench_oil.toml."""

import pytest

from shopclock.shop.setup.quench_oil import Bath, heat, rise, specific_heat
from tests.published.tables import tables

PUBLISHED = tables("quench_oil")
POUND_KG, GALLON_L = 0.45359237, 3.785411784


@pytest.mark.parametrize(("at_c", "j_kg_k"), PUBLISHED["specific_heat"]["at_c"])
def test_en_1993_1_2(at_c: float, j_kg_k: float) -> None:
    assert specific_heat(at_c) == pytest.approx(j_kg_k, abs=0.005)


def test_the_mean_is_the_computed_one() -> None:
    """No published twin: it guards against change."""
    mean = PUBLISHED["mean_heat"]
    low, high = mean["from_c"], mean["to_c"]
    assert heat(high, low) / (high - low) == pytest.approx(mean["j_kg_k"], abs=0.005)


def test_a_gallon_a_pound_warms_by_what_the_trades_rule_says() -> None:
    told_c = PUBLISHED["gallon_a_pound"]["rise_c"]
    assert rise(Bath(GALLON_L, 40, 90), POUND_KG, 800, 60) == pytest.approx(told_c, abs=2)
