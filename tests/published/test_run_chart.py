"""The chart of single values against published.md, section 2."""

from __future__ import annotations

import pytest

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.run_chart import Individuals, Signal, individuals, signals_at
from tests.published.test_learning_curves import ALTENEDER

NIST = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]


def chart(values: list[float]) -> Individuals:
    found = individuals(values)
    assert not isinstance(found, NoAnswer)
    return found


def test_nist_example() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (seen second hand), with d2 = 1.128."""
    found = chart(NIST)
    assert round(found.centre, 2) == 50.81
    assert round(found.mean_range, 4) == 1.8778
    assert round(found.limits.high, 4) == 55.8041
    assert round(found.limits.low, 4) == 45.8159
    assert not any(found.signals)


@pytest.mark.parametrize(
    ("offs", "signals"),
    [
        ([3.01], {Signal.BEYOND_3}),
        ([-3.01], {Signal.BEYOND_3}),
        ([3.0], set()),
        ([2.1, 0, 2.1], {Signal.TWO_OF_THREE}),
        ([2.1, 0, 0, 2.1], set()),
        ([2.1, 0, -2.1], set()),
        ([2.1, 2.1, 0], set()),
        ([2.0, 2.0, 2.0], set()),
        ([-1.1, -1.1, 0, -1.1, -1.1], {Signal.FOUR_OF_FIVE}),
        ([1.1, 1.1, -1.1, 1.1, -1.1], set()),
        ([1.0, 1.0, 1.0, 1.0, 1.0], set()),
        ([0.1] * 8, {Signal.EIGHT_IN_A_ROW}),
        ([0.1] * 7, set()),
        ([-0.1] * 3 + [0.1] + [-0.1] * 7, set()),
        ([0.0] * 8, set()),
    ],
)
def test_western_electric_rules(offs: list[float], signals: set[Signal]) -> None:
    """Western Electric, Statistical Quality Control Handbook, 1956; the last value completes the rule or doesn't."""
    assert signals_at(offs, len(offs) - 1) == signals


def test_a_trend_put_on_the_chart_as_it_is_cries_everywhere() -> None:
    """The record of Alteneder (1935), which is why batches are charted on what is left of them without the trend."""
    found = chart(ALTENEDER)
    assert (round(found.limits.low, 2), round(found.limits.high, 2)) == (8.46, 20.98)
    assert sum(bool(signals) for signals in found.signals) > 20
