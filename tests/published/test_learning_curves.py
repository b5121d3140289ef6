"""Learning curves against published.md, section 1; the source stands beside each check."""

from __future__ import annotations

import math
import tomllib

import numpy as np
import pytest

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import (
    FittedLine,
    Learning,
    LotSums,
    fit_line,
    learning,
    levels,
    rate_of,
    settle,
)
from shopclock.places import shared
from tests.analysis.lots import lots
from tests.analysis.outside import OLS

TABLE = tomllib.loads(shared("learning_factors.toml").read_text("utf-8"))
CELLS = [
    (row[0], rate, row[1 + 2 * i], row[2 + 2 * i]) for row in TABLE["rows"] for i, rate in enumerate(TABLE["rates"])
]

ALTENEDER = [
    49.79, 34.71, 23.85, 26.39, 27.42, 23.40, 23.99, 19.16, 21.70, 18.83, 14.72, 18.41, 14.48, 12.32, 13.07, 13.83,
    11.85, 13.67, 10.45, 9.43, 11.18, 9.00, 9.05, 7.88, 9.69, 8.60, 8.56, 8.34, 7.16, 6.86, 6.89, 5.81, 5.68, 4.50,
    4.47,
]  # fmt: skip
"""Minutes of 35 trials. L. E. Alteneder 1935, The learning curve in solving a jig-saw puzzle."""


def fit(*args: object, **more: object) -> Learning:
    found = learning(lots(*args, **more))
    assert not isinstance(found, NoAnswer)
    return found


def piece_by_piece() -> FittedLine:
    found = fit_line([math.log(i) for i in range(1, 36)], [math.log(m) for m in ALTENEDER], ["trial"] * 35)
    assert not isinstance(found, NoAnswer)
    return found


def lot_sum(first: int, last: int, rate: float) -> float:
    """What pieces first…last take together, in first pieces, by the midpoint that the fit itself uses: Q · K^b."""
    b = math.log2(rate)
    return (last - first + 1) * math.exp(b * float(LotSums([first], [last]).log_midpoints(np.array([b]))[0, 0]))


def half_up(value: float, digits: int) -> float:
    """Rounded as print does it: .7225 is .723, whatever its last bit says."""
    return math.floor(value * 10**digits + 0.5 + 1e-9) / 10**digits


@pytest.mark.parametrize(("n", "rate", "unit", "total"), CELLS)
def test_factors_are_those_of_the_table_to_the_printed_digit(n: int, rate: float, unit: float, total: float) -> None:
    """Heizer & Render, Operations Management, Table E.3; Stevenson, Operations Management 14e, Table 7S.1."""
    exact = TABLE["slips"].get(f"{n} at {rate}")
    if exact is None:
        assert half_up(lot_sum(n, n, rate), 3) == unit
    else:
        assert lot_sum(n, n, rate) == pytest.approx(exact, abs=1e-12)
    assert half_up(lot_sum(1, n, rate), 3) == total


def test_the_table_is_whole() -> None:
    assert len(CELLS) == 19 * 5


def test_stevenson_example_7s_2() -> None:
    """Stevenson 14e, Example 7S-2: T1 = 400 days, 80 %, twenty units; worked there with factors of three digits."""
    assert round(400 * half_up(lot_sum(20, 20, 0.8), 3), 1) == 152.4
    assert round(400 * half_up(lot_sum(1, 20, 0.8), 3)) == 4194
    assert round(400 * half_up(lot_sum(1, 20, 0.8), 3) / 20, 1) == 209.7


def test_stevenson_example_7s_3() -> None:
    """Stevenson 14e, Example 7S-3: T3 = 276 at 80 % gives T1 by the factor as printed, .702."""
    assert round(276 / half_up(lot_sum(3, 3, 0.8), 3), 1) == 393.2


# The R package learningCurve 1.1.2 (Boehmke and Freels, Air Force Institute of Technology), its documented outputs.


def test_unit_and_total_are_those_of_the_r_package() -> None:
    """unit_curve(100, n = 125, r = .85), unit_cum_exact(100, 125, .85)."""
    assert round(100 * lot_sum(125, 125, 0.85), 5) == 32.23647
    assert round(100 * lot_sum(1, 125, 0.85), 3) == 5201.085


def test_the_exact_midpoint_stands_beside_the_packages_rule_of_thumb() -> None:
    """unit_midpoint(201, 500, .75) prints 334.6103 by the ±½ formula; the exact sum is .6105."""
    b = math.log2(0.75)
    thumb = ((500.5 ** (1 + b) - 200.5 ** (1 + b)) / (300 * (1 + b))) ** (1 / b)
    assert round(thumb, 4) == 334.6103
    assert round((lot_sum(201, 500, 0.75) / 300) ** (1 / b), 4) == 334.6105


def test_a_block_is_that_of_the_r_package() -> None:
    """unit_block_summary(125, 201, 500, .75): 300 units, 30350.48 h by the ±½ midpoint; ours is the exact sum."""
    assert round(300 * 125 * (334.6103 / 201) ** math.log2(0.75), 2) == 30350.48
    assert 125 * lot_sum(201, 500, 0.75) / lot_sum(201, 201, 0.75) == pytest.approx(30350.48, rel=5e-7)


@pytest.mark.parametrize(("b", "rate"), [(-0.19, 0.8766057), (-0.22, 0.8585654), (-0.25, 0.8408964)])
def test_rates_are_those_of_the_r_package(b: float, rate: float) -> None:
    """lc_rate(c(-.19, -.22, -.25))."""
    assert round(rate_of(b), 7) == rate


def test_the_natural_slope_is_that_of_the_r_package() -> None:
    """natural_slope_est(T = 8250, t = 80, n = 250): -.1603777, rate .8947908, cumulative average theory."""
    b = math.log(8250 / 250 / 80) / math.log(250)
    assert round(b, 7) == -0.1603777
    assert round(rate_of(b), 7) == 0.8947908


# Lots: the loop that must close.

LOOP_SIZES = [5, 10, 15, 20]
LOOP_TOTALS = [403.10858983, 582.99702351, 722.96023360, 842.24529870]


def test_totals_of_lots_are_those_of_the_closed_loop() -> None:
    first = 1
    for size, total in zip(LOOP_SIZES, LOOP_TOTALS, strict=True):
        assert round(100 * lot_sum(first, first + size - 1, 0.85), 8) == total
        first += size


def test_the_fit_closes_the_loop() -> None:
    """T1 = 100 and 85 % come back out of lots of 5, 10, 15, 20; a fifth lot, on the curve, makes it enough to say."""
    fifth = 100 * lot_sum(51, 75, 0.85)
    totals, sizes = [*LOOP_TOTALS, fifth], [*LOOP_SIZES, 25]
    found = fit([t / q for t, q in zip(totals, sizes, strict=True)], sizes)
    assert round(found.first_piece_min[1], 5) == 100
    assert round(found.rate, 6) == 0.85


def test_four_lots_alone_close_the_loop_too() -> None:
    sums = LotSums([1, 6, 16, 31], [5, 15, 30, 50])
    y = np.log(np.array(LOOP_TOTALS) / LOOP_SIZES)[None]
    one, each = np.ones((4, 1)), np.ones((1, 4))
    b, settled = settle(sums, y, one, each)
    assert settled.all()
    assert round(rate_of(float(b[0])), 6) == 0.85
    first = levels(sums.log_midpoints(b), y, one, each, b)
    assert round(math.exp(float(first[0, 0])), 5) == 100


# A real record of one person, piece by piece.


def test_alteneder_piece_by_piece() -> None:
    line = piece_by_piece()
    assert round(math.exp(line.at(0, "trial")), 6) == 66.828080
    assert round(line.slope, 6) == -0.640513
    assert round(line.slope_se, 6) == 0.038550
    assert round(rate_of(line.slope), 6) == 0.641485
    ends = line.slope_range()
    assert round(rate_of(ends.low), 6) == 0.607542
    assert round(rate_of(ends.high), 6) == 0.677324


def test_alteneder_next_piece() -> None:
    x = math.log(36)
    ends = piece_by_piece().next_range(x, "trial")
    assert round(math.exp(piece_by_piece().at(x, "trial")), 4) == 6.7317
    assert round(math.exp(ends.low), 4) == 4.4800
    assert round(math.exp(ends.high), 4) == 10.1153


def test_alteneder_as_batches_of_one() -> None:
    """Lots of one piece are pieces: the whole of `learning` on the record, its next batch the next piece."""
    found = fit(ALTENEDER, 1)
    assert round(found.rate, 6) == 0.641485
    following = found.next_batch(1, 1)
    assert round(following.minutes, 4) == 6.7317
    assert (round(following.in_95.low, 4), round(following.in_95.high, 4)) == (4.4800, 10.1153)


def test_alteneder_in_lots_of_five() -> None:
    totals = [162.16, 107.08, 73.00, 59.23, 46.80, 39.52, 27.35]
    assert [round(sum(ALTENEDER[i : i + 5]), 2) for i in range(0, 35, 5)] == totals
    found = fit([t / 5 for t in totals])
    assert round(found.rate, 5) == 0.64404
    assert (round(found.rate_range.low, 4), round(found.rate_range.high, 4)) == (0.5585, 0.7427)


def test_alteneder_by_statsmodels() -> None:
    import numpy as np

    x = np.column_stack([np.ones(35), np.log(np.arange(1, 36))])
    other = OLS(np.log(ALTENEDER), x).fit()
    line = piece_by_piece()
    assert line.slope == pytest.approx(other.params[1], rel=1e-12)
    assert line.slope_se == pytest.approx(other.bse[1], rel=1e-12)
    assert other.rsquared == pytest.approx(0.893226, abs=5e-7)
    ends = other.get_prediction([[1, math.log(36)]]).conf_int(obs=True, alpha=0.05)[0]
    assert (line.next_range(math.log(36), "trial").low, line.next_range(math.log(36), "trial").high) == pytest.approx(
        tuple(ends), rel=1e-12
    )


def test_asimov_in_lots_of_books() -> None:
    """S. Ohlsson, The learning curve for writing books: evidence from Professor Asimov; months for lots of books."""
    sizes = [100, 100, 100, 100, 90]
    found = fit([m / q for m, q in zip([237, 113, 69, 46, 42], sizes, strict=True)], sizes)
    assert round(found.rate, 6) == 0.657453
    assert found.rate_range.low < 0.65811 < found.rate_range.high
