"""Set-up pressed or fitted, and what it does to minutes per piece."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.learning import Learning, learning
from shopclock.analysis.learning.setup import FittedSetup, batch_size_curve, fitted_setup, mean_of, pressed_setup
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.lots import lots
from tests.analysis.outside import OLS

SIZES = [4, 9, 5, 10, 4, 8, 10, 5, 9, 4, 8, 10, 6, 5]
WAVERING = [0.99, 0.99, 1.02, 1.02, 1.0, 1.01, 0.99, 1.0, 0.98, 1.0, 1.01, 0.98, 1.01, 1.0]


def fit(setup: float, run: float = 15, sizes: list[int] = SIZES, patterns: object = 1) -> Learning:
    minutes = [(setup / q + run) * w for q, w in zip(sizes, WAVERING, strict=False)]
    found = learning(lots(minutes, sizes, patterns))
    assert not isinstance(found, NoAnswer)
    return found


def test_pressed_set_up_is_a_mean_with_its_interval() -> None:
    found = pressed_setup(lots([20] * 5, setup_min=[10, 12, 14, 0, 16], out={5: LeftOut.GUESSED}))
    assert not isinstance(found, NoAnswer)
    assert (found.per_batch.minutes, found.per_batch.n, found.inside_run) == (12, 3, 1)


@given(st.lists(st.floats(1, 90), min_size=2, max_size=12))
def test_the_interval_of_a_mean_is_that_of_statsmodels(minutes: list[float]) -> None:
    other = OLS(np.array(minutes), np.ones((len(minutes), 1))).fit()
    found = mean_of(minutes)
    assert found is not None
    assert found.range is not None
    low, high = other.conf_int()[0]
    assert found.minutes == pytest.approx(other.params[0])
    assert (found.range.low, found.range.high) == pytest.approx((max(0, low), high), abs=1e-9)


def test_one_set_up_has_no_interval_and_none_is_a_sentence() -> None:
    one = mean_of([12.0])
    assert one is not None
    assert (one.minutes, one.range) == (12, None)
    assert pressed_setup(lots([20] * 3)) == NoAnswer(NoAnswerReason.FEW, 0, 1)
    assert pressed_setup([]) == NoAnswer(NoAnswerReason.FEW, 0, 1)


def test_set_up_is_told_from_run_by_the_sizes() -> None:
    found = fitted_setup(fit(30))
    assert isinstance(found, FittedSetup)
    assert found.minutes == pytest.approx(30, rel=0.25)
    assert found.usable
    assert found.range.low < 30 < found.range.high


def test_without_set_up_the_range_reaches_nought_and_is_not_used() -> None:
    found = fitted_setup(fit(0))
    assert isinstance(found, FittedSetup)
    assert (found.range.low, found.usable) == (0, False)
    assert found.minutes >= 0


def test_set_up_is_never_below_nought() -> None:
    """Larger batches slower, piece by piece: the best line would start below 0."""
    minutes = [10 + 0.8 * q for q in SIZES]
    found = learning(lots(minutes, SIZES))
    assert not isinstance(found, NoAnswer)
    setup = fitted_setup(found)
    assert isinstance(setup, FittedSetup)
    assert (setup.minutes, setup.range.low) == (0, 0)


@pytest.mark.parametrize(
    ("sizes", "why"),
    [
        (SIZES[:11], NoAnswerReason.FEW),
        ([6, 7, 8, 9, 10, 11] * 2, NoAnswerReason.ONE_SIZE),
        ([5] * 13, NoAnswerReason.ONE_SIZE),
    ],
)
def test_it_takes_twelve_and_one_twice_the_other(sizes: list[int], why: NoAnswerReason) -> None:
    found = fitted_setup(fit(30, sizes=sizes))
    assert isinstance(found, NoAnswer)
    assert found.why is why


def test_exact_figures_come_back() -> None:
    """No learning and no noise: S = 30 and 15 min a piece but for what the held b takes."""
    minutes = [30 / q + 15 for q in SIZES]
    made = learning(lots(minutes, SIZES))
    assert not isinstance(made, NoAnswer)
    found = fitted_setup(made)
    assert isinstance(found, FittedSetup)
    assert 30 in found.range


# Minutes per piece against batch size.


def test_a_second_load_is_a_second_set_up() -> None:
    """Invented: 20 min of set-up, 10 a piece, four in a load."""
    found = batch_size_curve(20, 10, [1, 2, 4, 5, 8, 9], capacity=4)
    assert [size.minutes for size in found] == [30, 20, 15, 18, 15, 10 + 60 / 9]


def test_without_bounds_larger_is_never_slower() -> None:
    found = [size.minutes for size in batch_size_curve(20, 10, range(1, 30))]
    assert found == sorted(found, reverse=True)


def test_the_range_of_set_up_goes_along() -> None:
    (found,) = batch_size_curve(20, 10, [5], setup_range=Range(10, 30))
    assert found.range == Range(12, 16)


@given(st.floats(0, 60), st.floats(0, 60), st.integers(1, 40), st.integers(1, 12))
def test_parts_add_up_to_the_batch(setup: float, run: float, pieces: int, capacity: int) -> None:
    (found,) = batch_size_curve(setup, run, [pieces], capacity)
    assert found.minutes * pieces == pytest.approx(setup * math.ceil(pieces / capacity) + run * pieces)
