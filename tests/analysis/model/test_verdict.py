"""The statistics of the verdict against dense least squares, and the order in which it is read."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.model.series import Series, lines
from shopclock.analysis.model.students import START, Spread, squeeze
from shopclock.analysis.model.verdict import (
    Bounds,
    Look,
    Pool,
    Shape,
    Verdict,
    bounds,
    look,
    pooled,
    scores,
    standings,
    verdict,
)
from tests.analysis.outside import OLS

NO_POOL = Spread(1.0, 1e-12)
"""A shop that tells nothing of spreads, so that a stage's is its own."""


def series(seed: int, n: int = 12, patterns: int = 2, slope: float = -0.2, noise: float = 0.1) -> Series:
    dice = np.random.default_rng(seed)
    batch = np.sort(dice.choice(3 * n, n, replace=False))
    x = np.log(5.0 * np.arange(1, n + 1) - 2)
    kinds = np.arange(n) % patterns
    return Series(batch, kinds, x, 3 + 0.3 * kinds + slope * x + noise * dice.standard_normal(n))


def dense(one: Series, column: np.ndarray, likeness: float) -> tuple[np.ndarray, np.ndarray, float, np.ndarray]:
    """b, its covariance in units, squares left, projector: by the whole matrix of batches × batches."""
    v = likeness ** np.abs(one.batch[:, None] - one.batch[None, :])
    vi = np.linalg.inv(v)
    x = np.column_stack([one.levels, column])
    g = np.linalg.inv(x.T @ vi @ x)
    p = vi - vi @ x @ g @ x.T @ vi
    return g @ x.T @ vi @ one.y, g, float(one.y @ p @ one.y), p


@given(st.integers(0, 10**6), st.sampled_from([0.0, 0.3, 0.8]))
def test_lines_are_generalised_least_squares_with_each_batch_left_out_in_turn(seed: int, likeness: float) -> None:
    one = series(seed)
    found = lines(one, np.stack([one.x, np.minimum(one.x, one.x[6])]), likeness)
    for i, column in enumerate((one.x, np.minimum(one.x, one.x[6]))):
        b, g, squares, p = dense(one, column, likeness)
        assert found.b[i] == pytest.approx(b[-1], rel=1e-8)
        assert found.unit[i] == pytest.approx(g[-1, -1], rel=1e-8)
        assert found.squares[i] == pytest.approx(squares, rel=1e-8)
        assert found.sure[i] == pytest.approx(np.diag(p), rel=1e-7)
        assert found.gone[i] == pytest.approx(p @ one.y / np.diag(p), rel=1e-6, abs=1e-9)
        for k in (0, 5, 11):  # a batch of variance without end is one left out
            heavy = likeness ** np.abs(one.batch[:, None] - one.batch[None, :]) + 1e9 * np.outer(
                np.arange(one.n) == k, np.arange(one.n) == k
            )
            vi = np.linalg.inv(heavy)
            x = np.column_stack([one.levels, column])
            without = np.linalg.solve(x.T @ vi @ x, x.T @ vi @ one.y)
            assert found.b[i] - found.pull[i, k] * found.gone[i, k] == pytest.approx(without[-1], abs=1e-4)


def test_without_likeness_and_pool_the_interval_is_that_of_statsmodels() -> None:
    one = series(1)
    found = bounds(lines(one, one.x[None, :], 0.0), NO_POOL)
    other = OLS(one.y, np.column_stack([one.levels, one.x])).fit()
    assert (found.low, found.high) == pytest.approx(tuple(other.conf_int()[-1]))
    assert found.p == pytest.approx(other.pvalues[-1])


def test_the_score_is_that_of_predictions_made_without_each_batch() -> None:
    from scipy.stats import t

    one = series(2, patterns=1)
    found = float(scores(lines(one, one.x[None, :], 0.0), NO_POOL)[0])
    total = 0.0
    for k in range(one.n):
        keep = np.arange(one.n) != k
        fit = OLS(one.y[keep], np.column_stack([np.ones(one.n - 1), one.x[keep]])).fit()
        told = fit.get_prediction([[1, one.x[k]]])
        total += t.logpdf(one.y[k], fit.df_resid, told.predicted_mean[0], np.sqrt(told.se_obs[0] ** 2))
    assert found == pytest.approx(total)


def test_likeness_of_neighbours_is_found_over_all_stages() -> None:
    def alike(seed: int, likeness: float) -> Series:
        one, dice = series(seed, 30, 1, noise=0), np.random.default_rng(seed)
        batch = np.arange(30)
        root = np.linalg.cholesky(likeness ** np.abs(batch[:, None] - batch[None, :]))
        return replace(one, batch=batch, y=one.y + 0.1 * root @ dice.standard_normal(30))

    assert pooled([alike(i, 0.001) for i in range(15)]).likeness <= 0.1
    assert pooled([alike(i, 0.6) for i in range(15)]).likeness == pytest.approx(0.6, abs=0.11)
    assert pooled([]) == Pool()


def test_spreads_are_squeezed_toward_the_shops() -> None:
    """Smyth 2004: alike spreads pool wholly, unlike ones hardly."""
    dice = np.random.default_rng(5)
    alike = 0.04 * dice.chisquare(10, 40) / 10
    unlike = alike * np.exp(dice.normal(0, 1.5, 40))
    told = [squeeze(list(v), [10.0] * 40) for v in (alike, unlike)]
    assert told[0].variance == pytest.approx(0.04, rel=0.15)
    assert told[0].df > 20
    assert told[1].df < 4
    assert told[0].with_own(0.4, 10) == pytest.approx((told[0].df * told[0].variance + 0.4) / (told[0].df + 10))
    assert squeeze([], []) == START


# The order of the table.

CLEAR = Bounds(-0.2, -0.3, -0.1, -0.05, -0.35, 0, 0.001)
HANGS = replace(CLEAR, highest=0.02)
OPEN = Bounds(-0.1, -0.4, 0.2, 0.3, -0.5, 0, 0.4)
RISES = Bounds(0.2, 0.1, 0.3, 0.4, 0.05, 0, 0.001)
SURE_STEP = Bounds(-0.3, -0.4, -0.2, -0.15, -0.45, 0, 1e-6)


def seen(own: Bounds, *, curve: float = 0, flat: float = -10, ended: float = -5, step: float = -5) -> Look:
    return Look(12, own, curve, flat, Shape(5, SURE_STEP, ended), Shape(6, SURE_STEP, step))


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (None, Verdict.FEW),
        (seen(RISES), Verdict.SLOWER),
        (seen(replace(RISES, lowest=-0.01)), Verdict.UNKNOWN),
        (seen(CLEAR), Verdict.FASTER),
        (seen(CLEAR, step=2.6), Verdict.STEP),
        (seen(CLEAR, step=2.4), Verdict.OPEN),
        (seen(CLEAR, step=2.6, flat=0), Verdict.OPEN),
        (seen(CLEAR, step=2.6, ended=0.2), Verdict.OPEN),
        (seen(CLEAR, ended=2.1), Verdict.ENDED),
        (seen(CLEAR, ended=1.9), Verdict.OPEN),
        (seen(CLEAR, ended=0.9), Verdict.FASTER),
        (seen(CLEAR, ended=2.1, step=3.5), Verdict.OPEN),
        (seen(HANGS), Verdict.ONE_BATCH),
        (seen(HANGS, ended=2.1), Verdict.ENDED),
        (seen(OPEN), Verdict.UNKNOWN),
        (seen(replace(OPEN, low=-0.05, high=0.05)), Verdict.STEADY),
        (seen(replace(OPEN, low=-0.08, high=0.05)), Verdict.UNKNOWN),
        (replace(seen(CLEAR), ended=None, step=None), Verdict.FASTER),
    ],
)
def test_it_is_read_in_this_order(found: Look | None, said: Verdict) -> None:
    assert verdict(found) is said


def test_a_step_that_is_not_clear_by_itself_is_not_told() -> None:
    unsure = replace(seen(CLEAR, step=9), step=Shape(6, replace(SURE_STEP, highest=0.01), 9))
    assert verdict(unsure) is Verdict.OPEN


# From series to words.


def test_shapes_are_found_where_they_are() -> None:
    pool = Pool(0.0, Spread(0.01**2, 20), 0.01**2)
    dice, n = np.random.default_rng(3), 20
    x = np.log(6.0 * np.arange(1, n + 1) - 3)
    none, noise = np.zeros(n, np.int64), 0.01 * dice.standard_normal(n)
    for y, said, at in (
        (np.where(np.arange(n) >= 9, -0.3, 0.0), Verdict.STEP, 9),
        (-0.3 * np.minimum(x, x[10]), Verdict.ENDED, 11),
        (-0.2 * x, Verdict.FASTER, None),
        (0 * x, Verdict.STEADY, None),
        (0.2 * x, Verdict.SLOWER, None),
    ):
        found = look(Series(np.arange(n), none, x, 3 + y + noise), pool)
        assert found is not None
        assert verdict(found) is said
        shape = {Verdict.STEP: found.step, Verdict.ENDED: found.ended}.get(said)
        assert at is None or (shape is not None and abs(shape.at - at) <= 1)


def test_in_a_long_series_the_place_of_a_step_is_found_as_well() -> None:
    n = 3000
    x, dice = np.log(5.0 * np.arange(1, n + 1)), np.random.default_rng(1)
    y = 3 + np.where(np.arange(n) >= 1234, -0.3, 0.0) + 0.1 * dice.standard_normal(n)
    found = look(Series(np.arange(n), np.zeros(n, np.int64), x, y), Pool())
    assert found is not None
    assert found.step is not None
    assert abs(found.step.at - 1234) <= 3


@pytest.mark.parametrize("n", [0, 1, 3])
def test_below_four_batches_nothing_is_looked_at(n: int) -> None:
    assert look(series(0, 12).__class__(*(v[:n] for v in vars(series(0, 12, 1)).values())), Pool()) is None


def test_batches_at_one_place_tell_nothing() -> None:
    one = series(0, 8, 1)
    assert look(replace(one, x=0 * one.x + 2), Pool()) is None


def test_a_wild_batch_is_told_and_widens_no_limits_of_its_own() -> None:
    one = series(4, 7, 1, noise=0.05)
    wild = one.y.copy()
    wild[3] += np.log(4)
    pool = pooled([series(i, 9, 1, noise=0.05) for i in range(8)])
    told = standings(replace(one, y=wild), pool)
    assert told is not None
    assert [s.wild for s in told] == [i == 3 for i in range(7)]
    plain = standings(one, pool)
    assert plain is not None
    assert told[3].limit == pytest.approx(plain[3].limit)
    assert standings(series(0, 2, 1), pool) is None
