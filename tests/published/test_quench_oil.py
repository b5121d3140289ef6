"""Specific heat of steel and the trade's rule for oil, against published.md, section 10."""

import pytest

from shopclock.shop.setup.quench_oil import Bath, heat, rise, specific_heat

POUND_KG, GALLON_L = 0.45359237, 3.785411784


@pytest.mark.parametrize(("at_c", "j_kg_k"), [(100, 487.62), (400, 605.88), (700, 1008.158), (800, 803.261)])
def test_en_1993_1_2(at_c: float, j_kg_k: float) -> None:
    """EN 1993-1-2:2005, 3.4.1.2 (seen second hand)."""
    assert specific_heat(at_c) == pytest.approx(j_kg_k, abs=0.005)


def test_mean_from_60_to_800() -> None:
    """734.42 J/(kg·K), computed, no published twin: it guards against change."""
    assert heat(800, 60) / 740 == pytest.approx(734.42, abs=0.005)


def test_a_gallon_a_pound_warms_by_about_38() -> None:
    """The trade's rule (MacKenzie, Revisiting the 1:1 rule for oil quenchants, Thermal Processing): about 38 °C."""
    assert rise(Bath(GALLON_L, 40, 90), POUND_KG, 800, 60) == pytest.approx(38, abs=2)
