"""The chart of single values against shared/published/run_chart.toml."""

from __future__ import annotations

import pytest

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.run_chart import Individuals, Signal, individuals, signals_at
from tests.published.tables import tables

RECORDS = tables("learning_records")


def chart(values: list[float]) -> Individuals:
    found = individuals(values)
    assert not isinstance(found, NoAnswer)
    return found


def test_nist_example() -> None:
    nist = tables("run_chart")["nist"]
    found = chart(nist["values"])
    assert round(found.centre, 2) == nist["centre"]
    assert round(found.mean_range, 4) == nist["mean_range"]
    assert [round(found.limits.low, 4), round(found.limits.high, 4)] == nist["limits"]
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
    """Which is why batches are charted on what is left of them without the trend."""
    found = chart(RECORDS["jigsaw"]["minutes"])
    assert [round(found.limits.low, 2), round(found.limits.high, 2)] == RECORDS["jigsaw_on_a_run_chart"]["limits"]
    assert sum(bool(signals) for signals in found.signals) > 20
