"""The cumulative average fit (Wright)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.learning import CumulativeAverage, cumulative_average
from tests.analysis.lots import lots


def wright(first_min: float, rate: float, sizes: list[int]) -> list[float]:
    """Minutes per piece of batches of which the first n always average T1 · n^b."""
    minutes, made, so_far = [], 0, 0.0
    for size in sizes:
        made += size
        total = first_min * made ** (1 + math.log2(rate))
        minutes.append((total - so_far) / size)
        so_far = total
    return minutes


@given(st.lists(st.integers(1, 12), min_size=5, max_size=12), st.floats(0.7, 1.1), st.floats(1, 200))
def test_what_wright_made_comes_back(sizes: list[int], rate: float, first_min: float) -> None:
    found = cumulative_average(lots(wright(first_min, rate, sizes), sizes))
    assert isinstance(found, CumulativeAverage)
    assert (found.rate, found.first_piece_min) == pytest.approx((rate, first_min), rel=1e-6)


def test_averages_are_of_all_pieces_so_far() -> None:
    found = cumulative_average(lots([30, 20, 20, 15, 15], [2, 4, 4, 5, 5]))
    assert isinstance(found, CumulativeAverage)
    assert found.averages[0] == (2, pytest.approx(30))
    assert found.averages[1] == (6, pytest.approx(140 / 6))
    assert found.averages[-1] == (20, pytest.approx(370 / 20))


def test_a_count_that_began_before_timing_is_a_sentence() -> None:
    assert cumulative_average(lots([30, 20, 20, 15, 15], made_before=12)) == NoAnswer(
        NoAnswerReason.NOT_FROM_THE_FIRST, 5
    )


@pytest.mark.parametrize("n", [0, 1, 3])
def test_too_few_are_a_sentence(n: int) -> None:
    found = cumulative_average(lots([20.0] * n))
    assert isinstance(found, NoAnswer)
    assert found.why is NoAnswerReason.FEW


def test_identical_batches_are_flat() -> None:
    found = cumulative_average(lots([20.0] * 6))
    assert isinstance(found, CumulativeAverage)
    assert (found.rate, found.first_piece_min) == pytest.approx((1, 20))
