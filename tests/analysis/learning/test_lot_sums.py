"""Midpoints of lots: exact, at any steepness, and the same for one lot as for many."""

from __future__ import annotations

import math
from itertools import accumulate

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.model.midpoints import LotSums

LOTS = st.lists(st.integers(1, 30), min_size=1, max_size=8)


def midpoint(first: int, last: int, b: float) -> float:
    """The piece of one lot that takes its mean, [(1/Q)·Σ i^b]^(1/b), by its plain sum."""
    if abs(b) < 1e-6:
        return math.exp(math.fsum(math.log(i) for i in range(first, last + 1)) / (last - first + 1))
    return float((math.fsum(i**b for i in range(first, last + 1)) / (last - first + 1)) ** (1 / b))


def ends(sizes: list[int]) -> tuple[list[int], list[int]]:
    last = list(accumulate(sizes))
    return [t - q + 1 for t, q in zip(last, sizes, strict=True)], last


@given(LOTS, st.floats(-3, 2))
def test_many_at_once_are_each_alone(sizes: list[int], b: float) -> None:
    first, last = ends(sizes)
    found = np.exp(LotSums(first, last).log_midpoints(b))
    assert found == pytest.approx([midpoint(f, t, b) for f, t in zip(first, last, strict=True)], rel=1e-7)


@given(LOTS, st.floats(-300, 300))
def test_a_midpoint_lies_in_its_lot_however_steep(sizes: list[int], b: float) -> None:
    first, last = ends(sizes)
    found = LotSums(first, last).log_midpoints(b)
    assert (found >= np.log(first) - 1e-9).all()
    assert (found <= np.log(last) + 1e-9).all()


def test_at_nought_the_midpoint_is_the_geometric_mean() -> None:
    found = LotSums([1, 1, 1], [5, 5, 5]).log_midpoints(np.array([0.0, 1e-7, 2e-6]))
    assert np.exp(found) == pytest.approx([math.factorial(5) ** 0.2] * 3, rel=1e-5)
    assert midpoint(1, 5, 0) == pytest.approx(math.factorial(5) ** 0.2)
