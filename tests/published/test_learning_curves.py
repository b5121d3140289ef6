"""Learning curves against shared/published: learning_factors, learning_examples, learning_records."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import FittedLine, Learning, LotSums, fit_line, learning, rate_of
from tests.analysis.lots import lots
from tests.analysis.outside import OLS
from tests.published.tables import tables

TABLE = tables("learning_factors")
CELLS = [
    (row[0], rate, row[1 + 2 * i], row[2 + 2 * i]) for row in TABLE["rows"] for i, rate in enumerate(TABLE["rates"])
]

EXAMPLES, RECORDS = tables("learning_examples"), tables("learning_records")
JIGSAW, JIGSAW_FIT = RECORDS["jigsaw"]["minutes"], RECORDS["jigsaw_fit"]


def fit(*args: object, **more: object) -> Learning:
    found = learning(lots(*args, **more))
    assert not isinstance(found, NoAnswer)
    return found


def piece_by_piece() -> FittedLine:
    found = fit_line([math.log(i) for i in range(1, 36)], [math.log(m) for m in JIGSAW], ["trial"] * 35)
    assert not isinstance(found, NoAnswer)
    return found


def lot_sum(first: int, last: int, rate: float) -> float:
    """What pieces first…last take together, in first pieces, by the midpoint that the fit itself uses: Q · K^b."""
    b = math.log2(rate)
    return (last - first + 1) * math.exp(b * float(LotSums([first], [last]).log_midpoints(b)[0]))


def half_up(value: float, digits: int) -> float:
    """Rounded as print does it: .7225 is .723, whatever its last bit says."""
    return math.floor(value * 10**digits + 0.5 + 1e-9) / 10**digits


@pytest.mark.parametrize(("n", "rate", "unit", "total"), CELLS)
def test_factors_are_those_of_the_table_to_the_printed_digit(n: int, rate: float, unit: float, total: float) -> None:
    exact = TABLE["slips"].get(f"{n} at {rate}")
    if exact is None:
        assert half_up(lot_sum(n, n, rate), 3) == unit
    else:
        assert lot_sum(n, n, rate) == pytest.approx(exact, abs=1e-12)
    assert half_up(lot_sum(1, n, rate), 3) == total


def test_the_table_is_whole() -> None:
    assert len(CELLS) == 19 * 5


def test_stevenson_example_7s_2() -> None:
    told = EXAMPLES["stevenson_7s_2"]
    first, pieces, rate = told["first_days"], told["pieces"], told["rate"]
    total = first * half_up(lot_sum(1, pieces, rate), 3)
    assert round(first * half_up(lot_sum(pieces, pieces, rate), 3), 1) == told["last_days"]
    assert round(total) == told["total_days"]
    assert round(total / pieces, 1) == told["mean_days"]


def test_stevenson_example_7s_3() -> None:
    told = EXAMPLES["stevenson_7s_3"]
    factor = half_up(lot_sum(told["piece"], told["piece"], told["rate"]), 3)
    assert round(told["takes"] / factor, 1) == told["first_takes"]


# The R package learningCurve, its documented outputs.


def test_unit_and_total_are_those_of_the_r_package() -> None:
    told = EXAMPLES["r_unit_curve"]
    assert round(told["first"] * lot_sum(told["piece"], told["piece"], told["rate"]), 5) == told["takes"]
    assert round(told["first"] * lot_sum(1, told["piece"], told["rate"]), 3) == told["total"]


def test_the_exact_midpoint_stands_beside_the_packages_rule_of_thumb() -> None:
    told = EXAMPLES["r_unit_midpoint"]
    first, last, b = told["from"], told["to"], math.log2(told["rate"])
    thumb = (((last + 0.5) ** (1 + b) - (first - 0.5) ** (1 + b)) / ((last - first + 1) * (1 + b))) ** (1 / b)
    assert round(thumb, 4) == told["midpoint"]
    assert round((lot_sum(first, last, told["rate"]) / (last - first + 1)) ** (1 / b), 4) == told["exact"]


def test_a_block_is_that_of_the_r_package() -> None:
    """By its midpoint to the digit; ours is the exact sum."""
    told, midpoint = EXAMPLES["r_unit_block_summary"], EXAMPLES["r_unit_midpoint"]["midpoint"]
    first, rate, pieces = told["first_of_block"], told["rate"], told["pieces"]
    total = first * lot_sum(told["from"], told["to"], rate) / lot_sum(told["from"], told["from"], rate)
    assert round(pieces * first * (midpoint / told["from"]) ** math.log2(rate), 2) == told["total"]
    assert total == pytest.approx(told["total"], rel=5e-7)


@pytest.mark.parametrize(("b", "rate"), EXAMPLES["r_lc_rate"]["exponents_rates"])
def test_rates_are_those_of_the_r_package(b: float, rate: float) -> None:
    assert round(rate_of(b), 7) == rate


def test_the_natural_slope_is_that_of_the_r_package() -> None:
    told = EXAMPLES["r_natural_slope_est"]
    b = math.log(told["total"] / told["pieces"] / told["first"]) / math.log(told["pieces"])
    assert round(b, 7) == told["exponent"]
    assert round(rate_of(b), 7) == told["rate"]


# Lots: the loop that must close.

LOOP = EXAMPLES["closed_loop"]
LOOP_SIZES, LOOP_TOTALS = LOOP["sizes"], LOOP["totals"]


def test_totals_of_lots_are_those_of_the_closed_loop() -> None:
    first = 1
    for size, total in zip(LOOP_SIZES, LOOP_TOTALS, strict=True):
        assert round(LOOP["first"] * lot_sum(first, first + size - 1, LOOP["rate"]), 8) == total
        first += size


def test_the_fit_closes_the_loop() -> None:
    """First piece and rate come back out; a fifth lot, on the curve, makes it enough to say."""
    fifth = LOOP["first"] * lot_sum(51, 75, LOOP["rate"])
    totals, sizes = [*LOOP_TOTALS, fifth], [*LOOP_SIZES, 25]
    found = fit([t / q for t, q in zip(totals, sizes, strict=True)], sizes)
    assert round(found.first_piece_min[1], 5) == LOOP["first"]
    assert round(found.rate, 6) == LOOP["rate"]


def test_four_lots_alone_close_the_loop_too() -> None:
    found = fit([t / q for t, q in zip(LOOP_TOTALS, LOOP_SIZES, strict=True)], LOOP_SIZES)
    assert round(found.first_piece_min[1], 5) == LOOP["first"]
    assert round(found.rate, 6) == LOOP["rate"]


# A real record of one person, piece by piece.


def test_the_jigsaw_piece_by_piece() -> None:
    line = piece_by_piece()
    assert round(math.exp(line.at(0, "trial")), 6) == JIGSAW_FIT["first_min"]
    assert round(line.slope, 6) == JIGSAW_FIT["exponent"]
    assert round(line.slope_se, 6) == JIGSAW_FIT["exponent_se"]
    assert round(rate_of(line.slope), 6) == JIGSAW_FIT["rate"]
    ends = line.slope_range()
    assert [round(rate_of(end), 6) for end in (ends.low, ends.high)] == JIGSAW_FIT["rate_95"]


def test_the_next_jigsaw() -> None:
    x = math.log(36)
    ends = piece_by_piece().next_range(x, "trial")
    assert round(math.exp(piece_by_piece().at(x, "trial")), 4) == JIGSAW_FIT["next_min"]
    assert [round(math.exp(end), 4) for end in (ends.low, ends.high)] == JIGSAW_FIT["next_95_min"]


def test_the_jigsaw_as_batches_of_one() -> None:
    """Lots of one piece are pieces: the whole of `learning` on the record, its next batch the next piece."""
    found = fit(JIGSAW, 1)
    assert round(found.rate, 6) == JIGSAW_FIT["rate"]
    following = found.next_batch(1, 1)
    assert round(following.minutes, 4) == JIGSAW_FIT["next_min"]
    assert [round(following.in_95.low, 4), round(following.in_95.high, 4)] == JIGSAW_FIT["next_95_min"]


def test_the_jigsaw_in_lots_of_five() -> None:
    told = RECORDS["jigsaw_in_fives"]
    totals = told["totals_min"]
    assert [round(sum(JIGSAW[i : i + 5]), 2) for i in range(0, 35, 5)] == totals
    found = fit([t / 5 for t in totals])
    assert round(found.rate, 5) == told["rate"]
    assert [round(found.rate_range.low, 4), round(found.rate_range.high, 4)] == told["rate_95"]


def test_the_jigsaw_by_statsmodels() -> None:

    x = np.column_stack([np.ones(35), np.log(np.arange(1, 36))])
    other = OLS(np.log(JIGSAW), x).fit()
    line = piece_by_piece()
    assert line.slope == pytest.approx(other.params[1], rel=1e-12)
    assert line.slope_se == pytest.approx(other.bse[1], rel=1e-12)
    assert other.rsquared == pytest.approx(JIGSAW_FIT["r_squared"], abs=5e-7)
    ends = other.get_prediction([[1, math.log(36)]]).conf_int(obs=True, alpha=0.05)[0]
    assert (line.next_range(math.log(36), "trial").low, line.next_range(math.log(36), "trial").high) == pytest.approx(
        tuple(ends), rel=1e-12
    )


def test_books_in_lots() -> None:
    books, months, told = RECORDS["books"]["books"], RECORDS["books"]["months"], RECORDS["books_fit"]
    found = fit([m / q for m, q in zip(months, books, strict=True)], books)
    assert round(found.rate, 6) == told["rate"]
    assert found.rate_range.low < told["half_piece_rate"] < found.rate_range.high
