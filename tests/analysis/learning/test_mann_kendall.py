"""Mann-Kendall and Sen against all orders counted one by one, and against others' libraries."""

from __future__ import annotations

import warnings
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import kendalltau, theilslopes

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.by_date import MannKendall, mann_kendall, sen
from tests.analysis.outside import pymannkendall

FEW = st.lists(st.integers(0, 4).map(float), min_size=2, max_size=6)
MANY = st.lists(st.integers(0, 30).map(float), min_size=11, max_size=40).filter(lambda v: len(set(v)) > 1)


def trend(values: list[float]) -> MannKendall:
    found = mann_kendall(values)
    assert not isinstance(found, NoAnswer)
    return found


def s_of(values: tuple[float, ...]) -> int:
    return sum((b > a) - (b < a) for i, a in enumerate(values) for b in values[i + 1 :])


@given(FEW)
def test_up_to_ten_p_is_the_share_of_all_orders(values: list[float]) -> None:
    orders = [abs(s_of(order)) for order in permutations(values)]
    found = trend(values)
    assert found.s == s_of(tuple(values))
    assert found.p == pytest.approx(sum(s >= abs(found.s) for s in orders) / len(orders))


@given(st.permutations(range(9)))
def test_without_ties_p_is_scipys_exact_one(values: list[int]) -> None:
    other = kendalltau(range(9), values, method="exact")
    assert trend([float(v) for v in values]).p == pytest.approx(other.pvalue)


@given(MANY)
def test_beyond_ten_it_is_pymannkendalls(values: list[float]) -> None:
    other, found = pymannkendall.original_test(values), trend(values)
    assert (found.s, found.variance) == (other.s, pytest.approx(other.var_s))
    assert (found.z, found.p) == (pytest.approx(other.z), pytest.approx(other.p, abs=1e-12))


@given(MANY)
def test_at_equal_spacing_the_slope_is_pymannkendalls(values: list[float]) -> None:
    found = sen(list(range(len(values))), values)
    assert not isinstance(found, NoAnswer)
    assert found.slope == pytest.approx(pymannkendall.sens_slope(values).slope)


@given(st.lists(st.tuples(st.integers(0, 400), st.integers(1, 60)), min_size=3, max_size=20, unique_by=lambda p: p[0]))
def test_with_dates_the_slope_is_scipys_and_lies_in_its_limits(pairs: list[tuple[int, int]]) -> None:
    times, values = [float(t) for t, _ in pairs], [float(v) for _, v in pairs]
    found = sen(times, values)
    assert not isinstance(found, NoAnswer)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # SciPy warns of limits that aren't looked at
        other = theilslopes(values, times)
    assert (found.slope, found.intercept) == pytest.approx((other.slope, other.intercept))
    if found.limits is not None:
        assert found.limits.low <= found.slope <= found.limits.high


@given(st.lists(st.floats(0, 100), min_size=2, max_size=10))
def test_turned_round_in_time_the_trend_turns_its_sign(values: list[float]) -> None:
    one, other = trend(values), trend(values[::-1])
    assert (one.s, one.p) == (-other.s, other.p)


def test_alike_there_is_no_trend() -> None:
    found = trend([20.0] * 8)
    assert (found.s, found.z, found.p, found.significant) == (0, 0, 1, False)


@pytest.mark.parametrize("values", [[], [20.0]])
def test_one_value_or_none_is_a_sentence(values: list[float]) -> None:
    assert mann_kendall(values) == NoAnswer(NoAnswerReason.FEW, len(values), 2)
    assert sen(list(range(len(values))), values) == NoAnswer(NoAnswerReason.FEW, len(values), 2)


def test_one_date_alone_has_no_slope() -> None:
    assert sen([3.0, 3.0, 3.0], [1.0, 2.0, 3.0]) == NoAnswer(NoAnswerReason.FEW, 1, 2)


def test_two_batches_of_one_instant_have_no_slope_between_them() -> None:
    found = sen([0.0, 0.0, 1.0], [1.0, 5.0, 4.0])
    assert not isinstance(found, NoAnswer)
    assert found.slope == pytest.approx(np.median([3, -1]))


SEASONS = st.lists(st.tuples(st.integers(0, 2), st.integers(0, 30).map(float)), min_size=40, max_size=60).filter(
    lambda rows: max(sum(g == k for g, _ in rows) for k in range(3)) > 10 and len({v for _, v in rows}) > 3
)


@given(SEASONS)
def test_within_groups_it_is_pymannkendalls_seasonal_test(rows: list[tuple[int, float]]) -> None:
    """Whole years of three seasons, so that the library's columns are our groups."""
    rows = [(i % 3, value) for i, (_, value) in enumerate(rows[: len(rows) // 3 * 3])]
    values, groups = [v for _, v in rows], [g for g, _ in rows]
    other, found = pymannkendall.seasonal_test(values, period=3), mann_kendall(values, groups)
    assert not isinstance(found, NoAnswer)
    assert (found.s, found.variance) == (other.s, pytest.approx(other.var_s))
    if not found.exact:
        assert (found.z, found.p) == (pytest.approx(other.z), pytest.approx(other.p, abs=1e-12))
    slope = sen([i // 3 for i in range(len(values))], values, groups)
    assert not isinstance(slope, NoAnswer)
    assert slope.slope == pytest.approx(other.slope)


@given(FEW, FEW)
def test_groups_alone_give_the_share_of_all_orders_within_them(one: list[float], other: list[float]) -> None:
    one, other = one[:4], other[:4]
    found = mann_kendall([*one, *other], [1] * len(one) + [2] * len(other))
    assert not isinstance(found, NoAnswer)
    sums = [abs(s_of(a) + s_of(b)) for a in permutations(one) for b in permutations(other)]
    assert found.p == pytest.approx(sum(s >= abs(found.s) for s in sums) / len(sums))


def test_thousands_are_ranked_in_blocks_and_their_slope_comes_of_some_pairs() -> None:
    dice = np.random.default_rng(2)
    t = np.arange(3000.0)
    values = (0.01 * t + dice.normal(0, 3, t.size)).tolist()
    found, slope = trend(values), sen(t.tolist(), values)
    assert found.s == round(kendalltau(t, values).statistic * t.size * (t.size - 1) / 2)
    assert not isinstance(slope, NoAnswer)
    assert slope.slope == pytest.approx(float(theilslopes(values, t).slope), rel=0.01)
