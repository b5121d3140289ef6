"""What is typed is kept exactly, and converted by NIST SP 811 (2008), appendix B: an inch is 25.4 mm exactly."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.measure import UNITS, Measure, exact_text, parse, units_like

LENGTHS = ("mm", "in", "thousandths")
DECIMALS = st.decimals(0, 9999, places=4)


@pytest.mark.parametrize(
    ("typed", "unit", "value", "shown"),
    [
        ("3/32", "in", Fraction(3, 32), "3/32 in"),
        ("1 3/32", "in", Fraction(35, 32), "1 3/32 in"),
        ("1-3/32", "in", Fraction(35, 32), "1 3/32 in"),
        (".094", "in", Fraction(94, 1000), "0.094 in"),
        ("0,8", "mm", Fraction(8, 10), "0.8 mm"),
        ("0.80", "mm", Fraction(8, 10), "0.80 mm"),
        ("5.", "mm", Fraction(5), "5 mm"),
        ("8", "thousandths", Fraction(8), "8 thousandths"),
        ("-196", "°C", Fraction(-196), "-196 °C"),
        ("-1 1/2", "°C", Fraction(-3, 2), "-1.5 °C"),
        ("58,5", "HRC", Fraction(117, 2), "58.5 HRC"),
        ("12", "g", Fraction(12), "12 g"),
        ("12", "", Fraction(12), "12"),
        ('3/32"', "mm", Fraction(3, 32), "3/32 in"),
        ("8 thou", "in", Fraction(8), "8 thousandths"),
        ("400f", "°C", Fraction(400), "400 °F"),
    ],
)
def test_what_is_typed_is_understood_exactly_and_shown_as_it_was_entered(
    typed: str, unit: str, value: Fraction, shown: str
) -> None:
    measure = parse(typed, unit)
    assert (measure.value, str(measure)) == (value, shown)


@pytest.mark.parametrize(
    "typed", ["", "abc", "3/", "/32", "3/0", "1.2.3", "1 2", "3-32", "--4", "1" * 25, "0x1", "\u0663"]
)
def test_what_is_not_understood_is_told_in_one_sentence(typed: str) -> None:
    with pytest.raises(Refusal, match=r"is not understood: type 0\.8, 3/32 or 1-3/32\. Nothing was changed\."):
        parse(typed, "in")


@pytest.mark.parametrize(
    ("typed", "unit", "said"),
    [
        ("-1", "mm", "-1 mm is less than a length can be."),
        ("-274", "°C", "-274 °C is less than a temperature can be."),
        ("-460", "°F", "-460 °F is less than a temperature can be."),
        ("58 HRC", "mm", "HRC is not understood here: type it in mm or in or thousandths."),
        ("5 mm", "g", "mm is not understood here: type it in g."),
    ],
)
def test_what_makes_no_sense_is_refused(typed: str, unit: str, said: str) -> None:
    with pytest.raises(Refusal) as refused:
        parse(typed, unit)
    assert str(refused.value) == f"{said} Nothing was changed."


# NIST SP 811 (2008), B.8: 1 in = 25.4 mm, 1 mil = 0.0254 mm; B.9: t/°C = (t/°F - 32)/1.8.
@pytest.mark.parametrize(
    ("text", "unit", "into", "value"),
    [
        ("1", "in", "mm", Fraction(254, 10)),
        ("3/32", "in", "mm", Fraction(381, 160)),
        ("1", "thousandths", "mm", Fraction(254, 10_000)),
        ("0.010", "in", "thousandths", Fraction(10)),
        ("1", "mm", "in", Fraction(5, 127)),
        ("32", "°F", "°C", Fraction(0)),
        ("212", "°F", "°C", Fraction(100)),
        ("-40", "°C", "°F", Fraction(-40)),
        ("200", "°C", "°F", Fraction(392)),
    ],
)
def test_conversion_agrees_with_the_published_factors(text: str, unit: str, into: str, value: Fraction) -> None:
    assert Measure(text, unit).to(into).value == value


@given(DECIMALS, st.sampled_from(UNITS))
def test_a_typed_decimal_is_the_same_decimal_inside(typed: Decimal, unit: object) -> None:
    name = next(u.name for u in UNITS if u is unit)
    assert parse(str(typed), name).value == Fraction(typed)


@given(DECIMALS, st.sampled_from(LENGTHS), st.sampled_from(LENGTHS))
def test_there_and_back_again_is_where_it_began(typed: Decimal, unit: str, into: str) -> None:
    measure = parse(str(typed), unit)
    assert measure.to(into).to(unit).value == measure.value
    assert measure.to(into).size == measure.size


@given(st.integers(0, 40), st.integers(1, 500), st.integers(1, 500))
def test_mixed_fractions_add_up(whole: int, over: int, under: int) -> None:
    assert parse(f"{whole} {over}/{under}", "in").value == whole + Fraction(over, under)


@given(st.fractions(-5000, 5000, max_denominator=20_000))
def test_an_exact_text_says_exactly_its_value(value: Fraction) -> None:
    assert Measure(exact_text(value), "°C").value == value


def test_what_no_decimal_says_is_rounded_when_shown_and_only_then() -> None:
    inch = Measure("1", "mm").to("in")
    assert (str(inch), inch.value) == ("0.0394 in", Fraction(5, 127))


def test_units_are_alike_when_they_measure_the_same() -> None:
    assert units_like("in") == LENGTHS
    assert units_like("°F") == ("°C", "°F")
    assert units_like("g") == ("g",)
    with pytest.raises(ValueError, match="HRC is not measured in mm"):
        Measure("58", "HRC").to("mm")
