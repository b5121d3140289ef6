"""Rise of quench oil from each blade, and how many blades before it leaves its range. A help, no instruction.

Specific heat of steel: EN 1993-1-2:2005, 3.4.1.2.
"""

import math
from dataclasses import dataclass

from shopclock.shop.state.settings import store
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.habits import marked

CAUTION = (
    "Reckoned as if all heat stayed in the oil. Lid and extinguisher at hand, no water near it; "
    "the makers of oil and steel have the last word."
)
SOURCES = "Heat of steel by EN 1993-1-2, 3.4.1.2; weight and heat of the oil: common practice, no source."
COLDEST_C, HOTTEST_C = 20.0, 1200.0
OIL_KG_L, OIL_J_KG_K = 0.8747, 1884.0
"""7.3 lb a gallon and 0.45 cal/(g·°C), with which the trade's rule of a gallon a pound comes out at about 38 °C."""
MOST_BLADES = 100


def specific_heat(at_c: float) -> float:
    """Return the specific heat of carbon steel in J/(kg·K), 20 to 1200 °C (EN 1993-1-2:2005, 3.4.1.2)."""
    if at_c < 600:
        return float(425 + 0.773 * at_c - 1.69e-3 * at_c**2 + 2.22e-6 * at_c**3)
    if at_c < 735:
        return 666 + 13_002 / (738 - at_c)
    return 545 + 17_820 / (at_c - 731) if at_c < 900 else 650.0


def heat(from_c: float, to_c: float) -> float:
    """Return the J/kg that steel gives off from one temperature down to another: the integral, exactly."""
    for at_c in (from_c, to_c):
        if not COLDEST_C <= at_c <= HOTTEST_C:
            raise Refusal(f"Steel is reckoned from {COLDEST_C:.0f} to {HOTTEST_C:.0f} °C. No rise was told.")
    return _enthalpy(from_c) - _enthalpy(to_c)


def _enthalpy(at_c: float) -> float:
    """Return J/kg above 20 °C, part by part."""
    parts = ((COLDEST_C, 600.0, _low), (600.0, 735.0, _middle), (735.0, 900.0, _high), (900.0, HOTTEST_C, _top))
    return sum(whole(min(at_c, end)) - whole(start) for start, end, whole in parts if at_c > start)


def _low(t: float) -> float:
    return float(425 * t + 0.773 * t**2 / 2 - 1.69e-3 * t**3 / 3 + 2.22e-6 * t**4 / 4)


def _middle(t: float) -> float:
    return 666 * t - 13_002 * math.log(738 - t)


def _high(t: float) -> float:
    return 545 * t + 17_820 * math.log(t - 731)


def _top(t: float) -> float:
    return 650 * t


@dataclass(frozen=True, slots=True)
class Bath:
    """The oil: litres, and the range that its maker gives, in °C; weight and heat where they are known better."""

    litres: float
    low_c: float
    high_c: float
    kg_l: float = OIL_KG_L
    j_kg_k: float = OIL_J_KG_K


def rise(bath: Bath, blade_kg: float, blade_c: float, oil_c: float) -> float:
    """Return by how many °C a blade warms the oil; a little too much rather than too little."""
    _may_be(bath, blade_kg)
    return blade_kg * heat(blade_c, max(oil_c, COLDEST_C)) / (bath.litres * bath.kg_l * bath.j_kg_k)


def _may_be(bath: Bath, blade_kg: float) -> None:
    if not (bath.litres > 0 and bath.kg_l > 0 and bath.j_kg_k > 0 and blade_kg > 0):
        raise Refusal("Litres of oil and the blade's weight have to be above 0. No rise was told.")
    if not bath.low_c < bath.high_c:
        raise Refusal("The oil's range begins below its end. No rise was told.")


def blades_before_too_warm(bath: Bath, blade_kg: float, blade_c: float, oil_c: float) -> int:
    """Return how many blades of a kind fit in one after the other before the oil is above its range.

    Between blades it isn't let cool. Refused while the oil is outside its range to begin with.
    """
    if not bath.low_c <= oil_c <= bath.high_c:
        raise Refusal(f"The oil is outside {bath.low_c:.0f} to {bath.high_c:.0f} °C already. Bring it there first.")
    n, at_c = 0, oil_c
    while n < MOST_BLADES:
        at_c += rise(bath, blade_kg, blade_c, at_c)
        if at_c > bath.high_c:
            break
        n += 1
    return n


def rise_text_with_caution(bath: Bath, blade_kg: float, blade_c: float, oil_c: float) -> str:
    """Say it in one line, with the caution."""
    return f"{rise_text(bath, blade_kg, blade_c, oil_c)}. {CAUTION}"


def rise_text(bath: Bath, blade_kg: float, blade_c: float, oil_c: float) -> str:
    """Say it for a page that shows the caution beside it."""
    n, warmer = blades_before_too_warm(bath, blade_kg, blade_c, oil_c), rise(bath, blade_kg, blade_c, oil_c)
    many = f"{n} in a row stay" if n != 1 else "1 stays"
    if not n:
        many = "even one doesn't stay"
    elif n >= MOST_BLADES:
        many = f"{MOST_BLADES} in a row and more stay"
    return f"About {warmer:.0f} °C warmer with each; {many} within {bath.low_c:.0f} to {bath.high_c:.0f} °C"


@dataclass(frozen=True, slots=True)
class OilValue:
    """A number: the key it is kept under, what it is, its unit, its bounds."""

    key: str
    said: str
    unit: str
    least: float
    most: float


VALUES = (
    OilValue("oil litres", "Oil in the tank", "l", 0.1, 1000),
    OilValue("oil low", "Oil's range from, by its maker", "°C", 0, 300),
    OilValue("oil high", "Oil's range to, by its maker", "°C", 0, 300),
    OilValue("oil blade", "A blade weighs", "g", 1, 20_000),
    OilValue("oil blade temperature", "Blade goes in at", "°C", 20, 1200),
    OilValue("oil temperature", "Oil is now at", "°C", 0, 300),
)


def oil_value(floor: ShopFloor, one: OilValue) -> float | None:
    """Return a number as it was typed last; nothing where it never was, or can't be read."""
    try:
        return _within(one, floor.setting(one.key) or "")
    except Refusal:
        return None


def set_oil_value(tx: Transaction, one: OilValue, typed: str) -> None:
    """Keep a number; refused outside its bounds."""
    store(tx, one.key, f"{_within(one, typed):g}")


def _within(one: OilValue, typed: str) -> float:
    try:
        number = float(typed.replace(",", "."))
    except ValueError:
        number = float("nan")
    if not one.least <= number <= one.most:
        ends = f"from {one.least:g} to {one.most:g} {one.unit}"
        raise Refusal(f"{marked(typed)} is no number {ends}. Nothing was changed.")
    return number
