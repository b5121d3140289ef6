"""Freehand against the jig: where one passes the other, and what can't be said."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.learning import Learning, Unfit, learning
from shopclock.analysis.learning.methods import Comparison, Passing, Stairs, compare, crossings, drawn
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.lots import lots, on_curve
from tests.analysis.rows import DAY_US

if TYPE_CHECKING:
    from shopclock.analysis.learning.stage_trend import Lot

WAVERING = [1.04, 0.97, 1.0, 1.02, 0.98, 1.01, 0.96, 1.03, 0.99, 1.0]
N = len(WAVERING)


def jig(minutes: float = 20, first_day: int = 0, **more: object) -> list[Lot]:
    days = [first_day + 40 * i for i in range(N)]
    return lots([minutes * w for w in WAVERING], 6, days=days, **more)


def freehand(first_min: float = 40, rate: float = 0.85, first_day: int = 100, **more: object) -> list[Lot]:
    minutes = [m * w for m, w in zip(on_curve(first_min, rate, [6] * N), WAVERING[::-1], strict=True)]
    made = lots(minutes, 6, days=[first_day + 40 * i for i in range(N)], **more)
    return [replace(lot, number=lot.number + 3, batch_id=lot.batch_id + 100) for lot in made]


def against(one: list[Lot], other: list[Lot]) -> Comparison:
    found = compare(one, other)
    assert not isinstance(found, NoAnswer)
    return found


def test_the_crossing_is_where_the_curve_meets_the_others_level() -> None:
    """40 minutes at 85 % pass 20 minutes where n^b is a half: at piece 2^(1/0.2345) = 20."""
    found = against(jig(), freehand())
    assert found.passing is Passing.PASSED
    assert found.count == pytest.approx(20, abs=4)
    assert found.low is not None
    assert found.high is not None
    assert found.low <= found.count <= found.high
    assert found.lot is not None
    assert found.lot.first_piece <= found.count <= found.lot.last_piece
    assert found.at_us is None


def test_the_order_of_the_two_does_not_matter() -> None:
    one, other = against(jig(), freehand()), against(freehand(), jig())
    assert (one.later_is_first, other.later_is_first) == (False, True)
    assert replace(one, later_is_first=True) == other


def test_the_same_batches_give_the_same_range() -> None:
    assert against(jig(), freehand()) == against(jig(), freehand())


def test_what_is_to_come_has_a_date_at_the_present_rate() -> None:
    """60 made in 360 days: 54 pieces from the end of the first batch to the end of the last, one in 6 2/3 days."""
    found = against(jig(), freehand(first_min=55))
    assert found.passing is Passing.COMING
    assert found.count is not None
    assert 60 < found.count <= 180
    assert found.lot is None
    assert found.at_us is not None
    days_after = found.at_us / DAY_US - (100 + 40 * (N - 1))
    assert days_after == pytest.approx((found.count - 60) * 40 / 6, rel=1e-6)


def test_beyond_three_times_the_count_it_is_not_in_sight() -> None:
    found = against(jig(), freehand(first_min=90))
    assert (found.passing, found.count, found.lot, found.at_us) == (Passing.NOT_IN_SIGHT, None, None, None)
    assert found.now > 1


def test_a_method_quicker_from_the_first_passes_nothing() -> None:
    assert against(jig(), freehand(first_min=15)).passing is Passing.FROM_THE_FIRST


def test_two_flat_ones_do_not_cross() -> None:
    found = against(jig(20), freehand(25, rate=1.0))
    assert found.passing is Passing.NOT_IN_SIGHT
    assert found.now == pytest.approx(1.25, abs=0.05)
    assert found.now in found.now_range


def test_patterns_of_one_method_stay_out_and_are_counted() -> None:
    own = [1, 1, 2, 1, 1, 2, 1, 1, 1, 1]
    found = against(jig(), freehand(patterns=own))
    assert found.later.fitted.left_out == ((Unfit.OTHER_PATTERN, 2),)
    assert found.later.made == 60


def test_patterns_weigh_the_same_and_do_not_pass_for_a_method() -> None:
    """The jig does the slow pattern mostly, freehand the quick one; pattern for pattern they are alike."""
    slow_mostly, quick_mostly = [2, 2, 1, 2, 2, 2, 1, 2, 2, 2], [1, 1, 2, 1, 1, 1, 2, 1, 1, 1]

    def by_pattern(made: list[Lot]) -> list[Lot]:
        return [replace(lot, minutes=lot.minutes * lot.pattern_id) for lot in made]

    found = against(by_pattern(jig(patterns=slow_mostly)), by_pattern(freehand(20, rate=1.0, patterns=quick_mostly)))
    assert found.now == pytest.approx(1, abs=0.03)


@pytest.mark.parametrize(
    ("one", "other", "answer"),
    [
        ([], [], NoAnswer(NoAnswerReason.NOT_BOTH, 0, 4)),
        (jig(), [], NoAnswer(NoAnswerReason.NOT_BOTH, 0, 4)),
        (jig(), freehand()[:3], NoAnswer(NoAnswerReason.NOT_BOTH, 3, 4)),
        (jig(), freehand(patterns=2), NoAnswer(NoAnswerReason.NOT_BOTH, 0, 4)),
        (jig(), freehand(out=dict.fromkeys(range(1, 8), LeftOut.GUESSED)), NoAnswer(NoAnswerReason.NOT_BOTH, 3, 4)),
    ],
)
def test_too_little_of_both_is_a_sentence(one: list[Lot], other: list[Lot], answer: NoAnswer) -> None:
    assert compare(one, other) == answer
    assert "by both methods" in answer.text()


def test_identical_batches_compare_without_spread() -> None:
    flat = lots([20.0] * 6, days=list(range(6)))
    quicker = [replace(lot, number=lot.number + 6, minutes=18.0) for lot in flat]
    found = against(flat, quicker)
    assert found.passing is Passing.FROM_THE_FIRST
    assert found.now == pytest.approx(0.9)
    assert (found.now_range.low, found.now_range.high) == pytest.approx((0.9, 0.9))


def test_what_is_drawn_of_a_fit_is_as_sure_as_the_fit() -> None:
    """Level and slope at any place against Student's interval of the line there, which statsmodels stands behind."""
    found = learning(freehand(patterns=[1, 1, 2] * 3 + [1]))
    assert isinstance(found, Learning)
    level, slope = drawn(found, np.random.default_rng(3))
    assert np.quantile(slope, [0.025, 0.975]) == pytest.approx(
        [found.line.slope_range().low, found.line.slope_range().high], abs=0.006
    )
    single = learning(freehand())
    assert isinstance(single, Learning)
    level, slope = drawn(single, np.random.default_rng(4))
    for x in (1.0, 4.0):
        ends = single.line.mean_range(x, 1)
        assert np.quantile(level + slope * x, [0.025, 0.975]) == pytest.approx([ends.low, ends.high], abs=0.012)


@given(
    st.lists(st.tuples(st.integers(1, 15), st.integers(1, 60)), min_size=1, max_size=8),
    st.floats(-0.6, 0.2), st.floats(2, 5), st.floats(-0.4, 0.3), st.floats(2, 5),
)  # fmt: skip
def test_the_crossing_is_the_one_found_by_walking(
    made: list[tuple[int, int]], slope: float, level: float, other_slope: float, other_level: float
) -> None:
    """Piece by piece, asking at each whether the curve is not above the other."""
    last = list(np.cumsum([q for q, _ in made]))
    beside = list(np.cumsum([q for _, q in made]))
    steps = Stairs((1, *(n + 1 for n in last)), (*last, 3 * last[-1]), (*beside, beside[-1]))

    def above(count: int) -> float:
        step = next(i for i, end in enumerate(steps.last) if count <= end)
        return level + slope * math.log(count) - other_level - other_slope * math.log(steps.beside[step])

    walked = next((n for n in range(1, steps.last[-1] + 1) if above(n) <= 0), math.inf)
    ends = (np.array([value]) for value in (level, slope, other_level, other_slope))
    found = float(crossings(steps, *ends)[0])
    close = math.isfinite(min(found, walked)) and abs(above(int(min(found, walked)))) < 1e-9
    assert found == walked or close
