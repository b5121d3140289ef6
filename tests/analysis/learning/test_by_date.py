"""The trend by date, free of any curve, within each pattern."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.by_date import Drift, by_date
from shopclock.analysis.learning.learning import fit_input
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.lots import lots

if TYPE_CHECKING:
    from shopclock.analysis.learning.stage_trend import Lot

YEAR = 365.25


def drift(made: list[Lot], likeness: float = 0.0) -> Drift:
    found = by_date(fit_input(made), likeness)
    assert not isinstance(found, NoAnswer)
    return found


def test_the_slope_is_told_within_the_time_that_was_seen() -> None:
    """Three in a hundred off each year, batches at uneven gaps over 900 days."""
    days = [0, 10, 200, 230, 600, 610, 900]
    found = drift(lots([40 * 0.97 ** (d / YEAR) for d in days], days=days))
    assert found.per_year == pytest.approx(math.log(0.97), rel=1e-9)
    assert found.ratio == pytest.approx(0.97 ** (900 / YEAR))
    assert found.trend.s == -21
    assert found.trend.significant


def test_order_is_by_date_not_by_first_start() -> None:
    made = lots([20, 21, 22, 23, 24, 25], days=[60, 50, 40, 30, 20, 10])
    assert drift(made).trend.s == -15


def test_a_change_of_product_mix_is_no_trend() -> None:
    patterns = [1, 1, 1, 1, 2, 1, 2, 2, 2, 2]
    minutes = [(30 if p == 1 else 20) * w for p, w in zip(patterns, [1, 1.02, 0.98, 1.01, 1, 0.99] * 2, strict=False)]
    assert not drift(lots(minutes, patterns=patterns)).trend.significant
    assert drift(lots(minutes)).trend.significant


def test_patterns_are_ranked_each_by_itself() -> None:
    """Each falls from batch to batch; ranked together after a division by their means they would hide it."""
    patterns = [1, 2, 1, 2, 1, 2, 1, 2, 2, 2]
    minutes = [30, 20, 29, 19, 28, 18, 27, 17, 16, 15]
    found = drift(lots(minutes, patterns=patterns))
    assert found.trend.s == -(4 * 3 // 2 + 6 * 5 // 2)
    assert found.trend.exact
    assert found.trend.p == pytest.approx(2 / (math.factorial(4) * math.factorial(6)))


def test_neighbours_alike_make_a_trend_less_sure() -> None:
    made = lots([20, 19.5, 19.7, 19.2, 19.4, 18.9, 19.1])
    one, other = drift(made), drift(made, 0.6)
    assert one.trend.p < other.trend.p
    assert one.trend.s == other.trend.s
    assert one.limits is not None
    assert other.limits is None or other.limits.high > one.limits.high


@pytest.mark.parametrize("n", [0, 1, 4])
def test_below_five_there_is_a_sentence(n: int) -> None:
    assert by_date(fit_input(lots([20.0] * n))) == NoAnswer(NoAnswerReason.FEW, n, 5)


def test_one_date_for_all_is_a_sentence() -> None:
    found = by_date(fit_input(lots([20.0, 21, 22, 23, 24], days=[5] * 5)))
    assert found == NoAnswer(NoAnswerReason.ONE_PLACE, 5)


def test_batches_alike_have_no_trend_and_no_slope() -> None:
    found = drift(lots([20.0, 30.0] * 4, patterns=[1, 2] * 4))
    assert (found.trend.s, found.trend.p, found.per_year) == (0, 1, 0)


def test_what_is_left_out_is_counted() -> None:
    assert drift(lots([20.0, 21, 22, 23, 24, 25], out={3: LeftOut.MIXED})).left_out == ((LeftOut.MIXED, 1),)


@given(st.lists(st.floats(5, 50), min_size=6, max_size=12), st.floats(0.1, 10))
def test_other_minutes_change_nothing(minutes: list[float], scale: float) -> None:
    one, other = drift(lots(minutes)), drift(lots([m * scale for m in minutes]))
    assert other.trend == one.trend or len(set(minutes)) < len(minutes)
    assert other.per_year == pytest.approx(one.per_year, rel=1e-6, abs=1e-9)
