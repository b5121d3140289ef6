"""A measured value with its unit: read as it is typed, kept exactly, shown as it was entered."""

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Self

from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.habits import marked


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: what it measures, how much one of it is and where its zero lies, in that quantity's first unit.

    `least` is the smallest value that makes sense in it; `words` are other ways to type it.
    """

    name: str
    measures: str
    size: Fraction
    zero: Fraction
    least: Fraction
    words: tuple[str, ...] = ()


ZERO = Fraction(0)
ICE = Fraction(27315, 100)
FAHRENHEIT_ZERO = Fraction(45967, 100)
UNITS: tuple[Unit, ...] = (
    Unit("mm", "a length", Fraction(1), ZERO, ZERO),
    Unit("in", "a length", Fraction(254, 10), ZERO, ZERO, ('"', "\N{RIGHT DOUBLE QUOTATION MARK}", "inch", "inches")),
    Unit("thousandths", "a length", Fraction(254, 10_000), ZERO, ZERO, ("thou", "thousandth")),
    Unit("°C", "a temperature", Fraction(1), ICE, -ICE, ("C",)),
    Unit("°F", "a temperature", Fraction(5, 9), FAHRENHEIT_ZERO * Fraction(5, 9), -FAHRENHEIT_ZERO, ("F",)),
    Unit("HRC", "a hardness", Fraction(1), ZERO, ZERO),
)
"""An inch is 25.4 mm exactly; 1.8 degrees Fahrenheit are one Celsius, 0 °C is 273.15 K, 0 °F 459.67/1.8 K: NIST SP 811
(2008), appendix B. Lengths count from 0 mm, temperatures from 0 K."""

BINARY = 128
"""Fractions of an inch down to this one are shown as they were typed; others as decimals."""
DIGITS = 4
"""Digits after the point of a value that no decimal says exactly."""
LONGEST = 24
_SIGN = r"(?P<sign>[-\N{MINUS SIGN}]?)"
_FRACTION = r"(?:(?P<whole>[0-9]+)[ -]+)?(?P<over>[0-9]+) ?/ ?(?P<under>[0-9]+)"
_VALUE = rf"(?:{_FRACTION}|(?P<point>[0-9]+[.,]?|[0-9]*[.,][0-9]+))"
_TYPED = re.compile(rf"{_SIGN}{_VALUE}\s*(?P<unit>[^-0-9/.,]*)")


@dataclass(frozen=True, slots=True)
class Measure:
    """A value in a unit. `text` says exactly this value: 0.094, 3/32, 1 3/32."""

    text: str
    unit: str

    @property
    def value(self) -> Fraction:
        """The exact value in its own unit."""
        return sum((Fraction(part) for part in self.text.split()), Fraction(0))

    @property
    def size(self) -> Fraction:
        """The exact value in mm, K or HRC; in its own unit where that is none of the known."""
        unit = unit_named(self.unit)
        return self.value * unit.size + unit.zero if unit else self.value

    def to(self, unit: str) -> Self:
        """The same in another unit of what it measures, exactly."""
        into = unit_named(unit)
        if into is None or unit not in units_like(self.unit):
            raise ValueError(f"{self.unit} is not measured in {unit}")
        return type(self)(exact_text((self.size - into.zero) / into.size), unit)

    @property
    def typed(self) -> str:
        """The value without its unit: as entered, where a decimal or a fraction of an inch says it; else rounded."""
        value = self.value
        if "/" not in self.text or (value.denominator <= BINARY and value.denominator.bit_count() == 1):
            return self.text
        return f"{float(value):.{DIGITS}f}".rstrip("0").rstrip(".")

    @property
    def shown(self) -> str:
        """The same as it is written at this place."""
        return marked(self.typed)

    def __str__(self) -> str:
        """The value with its unit: 3/32 in, 58.5 HRC."""
        return f"{self.shown} {self.unit}".rstrip()


def unit_named(word: str) -> Unit | None:
    """Return the unit of this name, or typed in one of its other ways; nothing for a unit of the shop's own."""
    wanted = word.strip()
    exact = next((unit for unit in UNITS if unit.name == wanted), None)
    lower = wanted.casefold()
    return exact or next((u for u in UNITS if lower in {w.casefold() for w in (u.name, *u.words)}), None)


def units_like(unit: str) -> tuple[str, ...]:
    """Return the units that can be typed in a unit's stead, itself among them."""
    known = unit_named(unit)
    return tuple(u.name for u in UNITS if known and u.measures == known.measures) or (unit,)


def exact_text(value: Fraction) -> str:
    """Say a value exactly: as a decimal where one ends, else as a fraction."""
    rest = value.denominator
    twos, fives = _times(rest, 2), _times(rest, 5)
    if 2**twos * 5**fives != rest:
        return f"{value.numerator}/{rest}"
    digits = max(twos, fives)
    whole, part = divmod(abs(value.numerator) * 10**digits // rest, 10**digits)
    said = f"{whole}.{part:0{digits}d}" if digits else str(whole)
    return f"-{said}" if value < 0 else said


def _times(number: int, prime: int) -> int:
    count = 0
    while number % prime == 0:
        number //= prime
        count += 1
    return count


def parse(typed: str, unit: str) -> Measure:
    """Read what was typed: .094, 0,8, 3/32, 1 3/32, 1-3/32; in `unit` unless another one is typed behind it.

    Refusal: one sentence for what isn't understood, or makes no sense.
    """
    found = _TYPED.fullmatch(typed.strip())
    if found is None or len(typed) > LONGEST or (found["under"] is not None and not int(found["under"])):
        such = f"{marked('0.8')}, 3/32 or 1-3/32"
        raise Refusal(f"{marked(typed)} is not understood: type {such}. Nothing was changed.")
    measure = Measure(_tidy(found), _unit_typed(found["unit"], unit))
    known = unit_named(measure.unit)
    if known is not None and measure.value < known.least:
        raise Refusal(f"{measure} is less than {known.measures} can be. Nothing was changed.")
    return measure


def _tidy(found: re.Match[str]) -> str:
    """Return what was typed as it is kept: one point, a nought before it, one space."""
    if found["point"] is not None:
        whole, _, part = found["point"].replace(",", ".").partition(".")
        value = f"{int(whole or 0)}.{part}" if part else str(int(whole))
        return f"-{value}" if found["sign"] else value
    fraction = f"{int(found['over'])}/{int(found['under'])}"
    if found["sign"]:
        return exact_text(-int(found["whole"] or 0) - Fraction(fraction))
    return f"{int(found['whole'])} {fraction}" if found["whole"] else fraction


def _unit_typed(word: str, unit: str) -> str:
    """Return the unit meant by what stands behind the value."""
    if not word.strip():
        return unit
    known = unit_named(word)
    name = known.name if known else word.strip()
    if name not in units_like(unit):
        other = " or ".join(units_like(unit)) or "a plain number"
        raise Refusal(f"{name} is not understood here: type it in {other}. Nothing was changed.")
    return name
