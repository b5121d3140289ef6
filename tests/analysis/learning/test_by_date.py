"""The trend by date, free of any curve, and when it disagrees with the curve."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.by_date import Drift, by_date, disagree
from shopclock.analysis.learning.learning import Learning, learning
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.lots import lots, on_curve

if TYPE_CHECKING:
    from shopclock.analysis.learning.stage_trend import Lot

YEAR = 365.25


def drift(made: list[Lot]) -> Drift:
    found = by_date(made)
    assert not isinstance(found, NoAnswer)
    return found


def fit(made: list[Lot]) -> Learning:
    found = learning(made)
    assert not isinstance(found, NoAnswer)
    return found


def test_the_slope_is_in_minutes_per_piece_per_year_with_real_dates() -> None:
    """Three minutes a year, batches at uneven gaps."""
    days = [0, 10, 200, 230, 600, 610, 900]
    found = drift(lots([40 - 3 * d / YEAR for d in days], days=days))
    assert found.per_year_min == pytest.approx(-3, rel=1e-9)
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


@pytest.mark.parametrize("n", [0, 1, 4])
def test_below_five_there_is_a_sentence(n: int) -> None:
    assert by_date(lots([20.0] * n)) == NoAnswer(NoAnswerReason.FEW, n if n > 1 else 0, 5)


def test_one_date_for_all_is_a_sentence() -> None:
    found = by_date(lots([20.0, 21, 22, 23, 24], days=[5] * 5))
    assert found == NoAnswer(NoAnswerReason.ONE_PLACE, 5)


def test_batches_alike_have_no_trend_and_no_slope() -> None:
    found = drift(lots([20.0, 30.0] * 4, patterns=[1, 2] * 4))
    assert (found.trend.s, found.trend.p, found.per_year_min) == (0, 1, 0)


def test_what_is_left_out_is_counted() -> None:
    assert drift(lots([20.0, 21, 22, 23, 24, 25], out={3: LeftOut.MIXED})).left_out == ((LeftOut.MIXED, 1),)


def test_count_and_date_agree_on_plain_practice() -> None:
    made = lots(on_curve(40, 0.8, [5] * 8))
    assert not disagree(fit(made), drift(made))


def test_they_disagree_when_they_point_opposite_ways_and_one_means_it() -> None:
    """A steep start and then a slow rise: the curve falls, most pairs of dates rise."""
    made = lots([60, 20, 20.5, 21, 21.5, 22, 22.5, 23, 23.5, 24], [1, 1, 1, 1, 1, 1, 1, 1, 1, 1])
    assert fit(made).line.slope < 0 < drift(made).trend.s
    assert disagree(fit(made), drift(made))


@given(st.lists(st.floats(5, 50), min_size=6, max_size=12), st.floats(0.1, 10))
def test_other_minutes_scale_the_slope_alone(minutes: list[float], scale: float) -> None:
    one, other = drift(lots(minutes)), drift(lots([m * scale for m in minutes]))
    assert other.trend == one.trend
    assert other.per_year_min == pytest.approx(one.per_year_min * scale, rel=1e-6, abs=1e-9)
