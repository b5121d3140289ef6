"""Is it getting faster: the rule table, what stays out, and identities that must hold."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.learning import BatchSizes, Learning, Unfit, learning
from shopclock.analysis.learning.sentences import without_spread
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.lots import lots, on_curve
from tests.analysis.outside import OLS

WAVERING = [1.05, 0.96, 1.0, 1.03, 0.97, 1.02, 0.95, 1.04, 0.99, 1.0, 0.98, 1.01]
SIZES = st.lists(st.integers(1, 12), min_size=6, max_size=14)
NOISE = st.lists(st.floats(-0.3, 0.3), min_size=14, max_size=14)


def fit(*args: object, **more: object) -> Learning:
    found = learning(lots(*args, **more))
    assert not isinstance(found, NoAnswer)
    return found


def wavering(minutes: list[float]) -> list[float]:
    return [m * w for m, w in zip(minutes, WAVERING, strict=False)]


@pytest.mark.parametrize("rate", [0.8, 1.0, 1.2])
def test_the_rate_lies_in_its_interval(rate: float) -> None:
    assert rate in fit(wavering(on_curve(30, rate, [6] * 12)), 6).rate_range


@pytest.mark.parametrize(("n", "patterns", "needed"), [(0, 1, 4), (1, 1, 4), (3, 1, 4), (4, 3, 5)])
def test_below_four_or_two_more_than_patterns_there_is_a_sentence(n: int, patterns: int, needed: int) -> None:
    kinds = [1 + i % patterns for i in range(n)]
    found = learning(lots([20.0 + i for i in range(n)], patterns=kinds))
    assert found == NoAnswer(NoAnswerReason.FEW, n, needed)
    assert found.text("firings") == f"not enough firings yet ({n} of {needed})"


def test_a_pattern_with_one_batch_tells_nothing_of_the_rate_and_advances_the_count() -> None:
    with_it, without = fit([30, 50, 25, 24, 22, 21], patterns=[1, 2, 1, 1, 1, 1]), fit([30, 25, 24, 22, 21])
    assert [p.lot.first_piece for p in with_it.points] == [1, 6, 11, 16, 21, 26]
    assert with_it.line.df == without.line.df
    assert with_it.fitted.left_out == ()


def test_what_trends_leave_out_is_left_out_here_with_its_reason() -> None:
    out = {2: LeftOut.GUESSED, 4: LeftOut.GUESSED, 9: LeftOut.UNDER_WAY}
    found = fit(wavering(on_curve(30, 0.8, [5] * 9)), out=out)
    assert found.fitted.left_out == ((LeftOut.UNDER_WAY, 1), (LeftOut.GUESSED, 2))
    assert found.line.n == 6
    assert found.made == 45


def test_a_batch_of_no_length_is_left_out() -> None:
    found = fit([30, 0, 25, 24, 22, 21])
    assert found.fitted.left_out == ((Unfit.NO_TIME, 1),)


def test_all_pieces_lost_is_no_row_and_so_not_enough() -> None:
    assert learning([]) == NoAnswer(NoAnswerReason.FEW, 0, 4)


def test_first_piece_minutes_stand_for_each_pattern() -> None:
    patterns = [1, 2] * 5
    minutes = [m * (2 if p == 2 else 1) for m, p in zip(on_curve(30, 0.85, [5] * 10), patterns, strict=True)]
    found = fit(minutes, patterns=patterns)
    assert found.first_piece_min == pytest.approx({1: 30, 2: 60})
    assert found.rate == pytest.approx(0.85)


def test_identical_batches_are_flat_and_say_that_there_is_no_spread() -> None:
    found = fit([20.0] * 7, [1, 4, 9, 2, 6, 5, 3])
    assert found.without_spread
    assert math.isfinite(found.next_batch(1, 5).in_95.high)
    assert without_spread(found, "batches") == "the batches are too alike for a range of their own"


def test_batches_of_one_are_a_count_like_any_other() -> None:
    found = fit(on_curve(40, 0.9, [1] * 8), 1)
    assert found.rate == pytest.approx(0.9)
    assert [p.midpoint for p in found.points] == pytest.approx(range(1, 9))


def test_what_was_made_before_moves_the_count() -> None:
    late = fit(wavering([20] * 8), made_before=30)
    assert late.points[0].lot.first_piece == 31
    assert 31 < late.points[0].midpoint < 35


def test_a_curve_that_never_settles_is_a_sentence() -> None:
    """A first batch of 2,000 in a fall so steep that its midpoint jumps with each round."""
    found = learning(lots([3000.0, 1.0, 1.0, 1.0, 900.0], [2000, 1, 1, 1, 1]))
    assert found == NoAnswer(NoAnswerReason.UNSETTLED, 5)
    assert found.text() == "no curve settles on these 5 batches"


# Batch size beside skill.

GROWING = [4, 4, 5, 6, 6, 7, 8, 8, 8]


@pytest.mark.parametrize(
    ("sizes", "setup_min", "said"),
    [
        (GROWING, 0, BatchSizes.GREW),
        (GROWING[::-1], 0, BatchSizes.SHRANK),
        (GROWING, 12, BatchSizes.ALIKE),
        (GROWING, [12] * 8 + [0], BatchSizes.GREW),
        ([6] * 9, 0, BatchSizes.ALIKE),
        ([4, 4, 4, 5, 5, 5, 6, 6, 6], 0, BatchSizes.ALIKE),
    ],
)
def test_batches_that_grew_are_told_unless_set_up_was_pressed(
    sizes: list[int], setup_min: object, said: BatchSizes
) -> None:
    found = fit(wavering(on_curve(30, 0.8, sizes)), sizes, setup_min=setup_min)
    assert found.fitted.sizes is said


def test_where_some_pressed_set_up_all_stand_with_it() -> None:
    """Run with set-up inside, then apart: 26 min, then 20 beside 30/5 pressed. Nothing changed but the pressing."""
    minutes = [m - (6 if i > 5 else 0) for i, m in enumerate(wavering([26.0] * 12))]
    found = fit(minutes, setup_min=[0] * 6 + [30] * 6)
    assert found.fitted.with_setup
    assert [p.minutes for p in found.points] == pytest.approx(wavering([26.0] * 12))


# Identities.


@given(SIZES, st.floats(0.6, 1.1), st.floats(0.5, 200))
def test_the_loop_closes_whatever_the_lots(sizes: list[int], rate: float, first_min: float) -> None:
    found = fit(on_curve(first_min, rate, sizes), sizes)
    assert found.rate == pytest.approx(rate, rel=1e-6)
    assert found.first_piece_min[1] == pytest.approx(first_min, rel=1e-5)


@given(SIZES, NOISE, st.floats(0.01, 100))
def test_other_minutes_give_the_same_rate(sizes: list[int], noise: list[float], scale: float) -> None:
    minutes = [20 * math.exp(e) for e, _ in zip(noise, sizes, strict=False)]
    one, other = fit(minutes, sizes), fit([m * scale for m in minutes], sizes)
    assert other.rate == pytest.approx(one.rate, rel=1e-6)
    assert other.first_piece_min[1] == pytest.approx(one.first_piece_min[1] * scale, rel=1e-6)


@given(SIZES, NOISE)
def test_actual_over_expected_multiplies_to_one(sizes: list[int], noise: list[float]) -> None:
    found = fit([20 * math.exp(e) for e, _ in zip(noise, sizes, strict=False)], sizes)
    assert math.fsum(math.log(p.minutes / p.expected) for p in found.points) == pytest.approx(0, abs=1e-9)


@given(SIZES, NOISE)
def test_ranges_lie_in_each_other(sizes: list[int], noise: list[float]) -> None:
    found = fit([20 * math.exp(e) for e, _ in zip(noise, sizes, strict=False)], sizes)
    ahead = found.next_batch(1, 5)
    ends = [ahead.in_95.low, ahead.in_80.low, ahead.minutes, ahead.in_80.high, ahead.in_95.high]
    assert ends == sorted(ends)
    assert found.rate in found.rate_range


@given(SIZES, NOISE, st.lists(st.sampled_from([1, 2]), min_size=14, max_size=14))
def test_levels_slope_and_prediction_are_those_of_statsmodels(
    sizes: list[int], noise: list[float], kinds: list[int]
) -> None:
    """Least squares with dummy variables on the midpoints that ours settled on."""
    patterns = [1, 2, 1, 2, *kinds][: len(sizes)]
    found = learning(lots([20 * math.exp(e) for e, _ in zip(noise, sizes, strict=False)], sizes, patterns))
    if isinstance(found, NoAnswer):
        assert found.why is NoAnswerReason.FEW
        return
    used = [p.lot.pattern_id for p in found.points]
    x = np.array([[k == 1, k == 2, math.log(p.midpoint)] for k, p in zip(used, found.points, strict=True)], float)
    other = OLS(np.log([p.minutes for p in found.points]), x).fit()
    assert found.line.slope == pytest.approx(other.params[2], abs=1e-9)
    assert [found.line.slope_range().low, found.line.slope_range().high] == pytest.approx(
        list(other.conf_int()[2]), abs=1e-8
    )
    ends = other.get_prediction([[1, 0, math.log(50)]]).conf_int(obs=True, alpha=0.2)[0]
    ours = found.line.next_range(math.log(50), 1, 0.8)
    assert (ours.low, ours.high) == pytest.approx(tuple(ends), abs=1e-8)


def test_minutes_gone_wild_far_along_the_count_are_a_sentence() -> None:
    found = learning(lots([0.001, 10, 1e5, 1e3, 1e6], 1, made_before=500))
    assert found == NoAnswer(NoAnswerReason.UNSETTLED, 5)
