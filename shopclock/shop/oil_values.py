"""The numbers that the quench-oil help takes, kept as they were typed last."""

from dataclasses import dataclass

from shopclock.shop.errors import Refusal
from shopclock.shop.floor import Floor
from shopclock.shop.settings import store
from shopclock.shop.turn import Turn


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


def value(floor: Floor, one: OilValue) -> float | None:
    """Return a number as it was typed last; nothing where it never was, or can't be read."""
    try:
        return _within(one, floor.setting(one.key) or "")
    except Refusal:
        return None


def set_value(turn: Turn, one: OilValue, typed: str) -> None:
    """Keep a number; refused outside its bounds."""
    store(turn, one.key, f"{_within(one, typed):g}")


def _within(one: OilValue, typed: str) -> float:
    try:
        number = float(typed.replace(",", "."))
    except ValueError:
        number = float("nan")
    if not one.least <= number <= one.most:
        raise Refusal(f"{typed} is no number from {one.least:g} to {one.most:g} {one.unit}. Nothing was changed.")
    return number
