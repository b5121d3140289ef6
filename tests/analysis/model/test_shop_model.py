"""The model of a whole shop is the closed form of a mixed model, and learns its scales from the shop's rows."""

from __future__ import annotations

import warnings
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from shopclock.analysis.model.midpoints import LotSums
from shopclock.analysis.model.shop_model import (
    FORGOTTEN,
    LOG_TEN,
    SLOPE,
    Coming,
    Scales,
    ShopRows,
    draw,
    expected,
    fit_shop,
)

STAGES, PATTERNS, METHODS = 5, 3, 2


def rows_of(seed: int = 3, batches: int = 9, *, stages: int = STAGES, slope: float = -0.15, size: int = 5) -> ShopRows:
    """Batches of 5 by patterns in turn, a new method from the sixth on; not every batch is at every stage."""
    dice = np.random.default_rng(seed)
    level, made = dice.normal(0, 0.4, stages), np.zeros((stages, METHODS), np.int64)
    found = []
    for batch in range(batches):
        luck = dice.normal(0, 0.1)
        for stage in range(stages):
            method = int(batch > 5 and stage % 2)
            if dice.random() < 0.15:
                continue
            first = int(made[stage, method]) + 1
            made[stage, method] += size
            x = float(LotSums([first], [first + size - 1]).log_midpoints(slope)[0]) - LOG_TEN
            y = 3 + level[stage] + 0.1 * (batch % PATTERNS) + slope * x + luck + dice.normal(0, 0.1)
            found.append((stage, batch % PATTERNS, method, batch, first, first + size - 1, y, 2.5 + 0.1 * stage))
    table = np.array(found)
    whole = [table[:, i].astype(np.int64) for i in range(6)]
    apart = np.where(np.arange(batches) == 4, 3.0, 1.0)
    return ShopRows(*whole, table[:, 6], table[:, 7], apart)


def closed_form(rows: ShopRows, coming: list[Coming], scales: Scales, slopes: tuple) -> tuple[np.ndarray, np.ndarray]:
    """Mean and covariance of stages to come given the rows, by the joint normal: rows × rows, as any text has it."""
    n = rows.stage.size
    stage = np.concatenate([rows.stage, [c.stage for c in coming]])
    pattern = np.concatenate([rows.pattern, [c.pattern for c in coming]])
    method = np.concatenate([rows.method, [c.method for c in coming]])
    batch = np.concatenate([rows.batch, [c.batch for c in coming]])
    first = np.concatenate([rows.first, [c.first for c in coming]])
    last = np.concatenate([rows.last, [c.last for c in coming]])
    offset = np.concatenate([rows.offset, [c.offset for c in coming]])
    x = LotSums(first, last).log_midpoints(np.concatenate(slopes)) - LOG_TEN
    at = np.concatenate([np.cumsum(rows.apart), rows.apart.sum() + 1.0 + np.arange(50)])[batch]

    def same(*columns: np.ndarray) -> np.ndarray:
        return np.all([c[:, None] == c[None, :] for c in columns], axis=0).astype(float)

    products = np.outer(x, x)
    covariance = (
        scales.maker**2 + scales.shop_slope**2 * products + scales.stage**2 * same(stage)
        + scales.pattern**2 * same(stage, pattern) + scales.method**2 * same(stage, method)
        + scales.slope**2 * same(stage, method) * products
        + scales.batch * scales.likeness ** np.abs(at[:, None] - at[None, :])
    )  # fmt: skip
    mean = offset + SLOPE * x
    known = covariance[:n, :n] + scales.own * np.eye(n)
    gain = np.linalg.solve(known, covariance[:n, n:]).T
    return mean[n:] + gain @ (rows.log_min - mean[:n]), covariance[n:, n:] - gain @ covariance[:n, n:]


COMING = [
    Coming(0, 1, 0, 9, 46, 50, 2.5), Coming(1, 1, 1, 9, 20, 24, 2.6), Coming(1, 2, 1, 10, 25, 29, 2.6),
    Coming(2, 7, 0, 9, 40, 44, 2.7), Coming(9, 1, 0, 9, 1, 5, 3.0), Coming(3, 0, 0, 4, 41, 45, 2.8),
]  # fmt: skip
"""Known stages, an unknown pattern, a stage never made, two batches to come and one that is known."""


def test_with_fixed_scales_it_is_the_closed_form() -> None:
    rows, scales = rows_of(), Scales(likeness=0.4)
    fit = fit_shop(rows, scales=scales, tails=False)
    slopes = ([fit.slope(s, m) for s, m in zip(rows.stage, rows.method, strict=True)],
              [fit.slope(c.stage, c.method) for c in COMING])  # fmt: skip
    mean, covariance = closed_form(rows, COMING, scales, slopes)
    ours = expected(fit, COMING)
    assert ours[0] == pytest.approx(mean, abs=1e-6)  # lots move a last little when the slopes do
    assert ours[1] == pytest.approx(covariance, abs=1e-7)


def test_before_any_batch_it_is_the_route_with_the_whole_start() -> None:
    none = ShopRows(*(np.zeros(0, np.int64) for _ in range(6)), np.zeros(0), np.zeros(0), np.zeros(0))
    fit, start = fit_shop(none), Scales()
    coming = [Coming(1, 1, 1, 0, 10, 10, 3.0), Coming(2, 1, 1, 0, 10, 10, 2.0)]
    mean, covariance = expected(fit, coming)
    assert mean == pytest.approx([3.0, 2.0])
    together = start.maker**2 + start.batch
    assert covariance[0, 1] == pytest.approx(together)
    assert covariance[0, 0] == pytest.approx(together + start.stage**2 + start.pattern**2 + start.method**2)


def test_its_predictions_are_those_of_statsmodels() -> None:
    """Random levels and slopes of stages, scales as MixedLM estimates them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from statsmodels.regression.mixed_linear_model import MixedLM
    rows = rows_of(5, 14, stages=12, size=1)
    single = np.ones(rows.stage.size, np.int64)
    rows = replace(rows, pattern=single, method=single, offset=0.0 * rows.offset)
    x = np.log(rows.first) - LOG_TEN
    table = pd.DataFrame({"y": rows.log_min, "x": x, "stage": rows.stage})
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        model = MixedLM.from_formula(
            "y ~ x", table, groups="stage", vc_formula={"level": "0 + C(stage)", "slope": "0 + x"}
        )
        theirs = model.fit(reml=True)
    level, slope = np.sqrt(theirs.vcomp)
    scales = Scales(1e3, level, 1e-6, 1e-6, slope, 1e3, theirs.scale, 1e-12, 0.0)
    fit = fit_shop(rows, scales=scales, tails=False)
    assert fit.estimate[:2] == pytest.approx(theirs.fe_params.to_numpy(), abs=1e-5)
    own = fit.estimate[fit.columns.of_rows]
    fitted = own[:, 0] + own[:, 2] + x * (own[:, 1] + own[:, 5])
    assert fitted == pytest.approx(theirs.fittedvalues.to_numpy(), abs=1e-5)


def test_scales_move_to_what_the_rows_say() -> None:
    wide, narrow = (fit_shop(rows_of(1, 30, stages=20, slope=slope)).scales for slope in (-0.15, -0.15))
    assert wide == narrow, "the same rows give the same scales"
    noisy = rows_of(1, 30, stages=20)
    dice = np.random.default_rng(0)
    noisy = replace(noisy, log_min=noisy.log_min + dice.normal(0, 0.3, noisy.log_min.size))
    assert fit_shop(noisy).scales.own > 4 * wide.own
    assert wide.own == pytest.approx(0.1**2 * (5 - 2) / 5, rel=0.5), "normal noise of 10 %, told as a t's scale"


def test_a_noisy_stage_is_wider_than_a_quiet_one_and_moved_more_by_its_batch() -> None:
    rows = rows_of(2, 40, stages=8)
    dice = np.random.default_rng(1)
    off = np.where(rows.stage == 0, dice.normal(0, 0.5, rows.stage.size), 0)
    fit = fit_shop(replace(rows, log_min=rows.log_min + off))
    assert fit.own[0] > 5 * fit.own[1]
    assert fit.load(0) > 2 * fit.load(1)


def test_a_wild_batch_weighs_little() -> None:
    rows = rows_of(2, 12)
    wild = rows.log_min.copy()
    wild[10] += 1.5
    fit = fit_shop(replace(rows, log_min=wild))
    assert fit.weights[10] == min(fit.weights) < 0.3
    told = [expected(one, COMING[:2])[0] for one in (fit, fit_shop(rows))]
    assert told[0] == pytest.approx(told[1], abs=0.15)


def test_held_scales_are_those_of_the_fit_they_are_of() -> None:
    rows = rows_of(4, 20)
    whole = fit_shop(rows)
    again = fit_shop(rows, whole)
    assert again.scales == whole.scales
    assert again.own == whole.own


def test_draws_have_the_mean_and_covariance_that_are_expected() -> None:
    fit = fit_shop(rows_of(4, 20))
    logs = draw(fit, COMING, 40_000, 1)
    mean, covariance = expected(fit, COMING)
    by_itself = np.array([fit.own.get(c.stage, fit.scales.own) for c in COMING])
    assert logs.mean(axis=1) == pytest.approx(mean, abs=0.01)
    found = np.cov(logs)
    off = ~np.eye(len(COMING), dtype=bool)
    assert found[off] == pytest.approx(covariance[off], abs=0.006)
    assert (np.diag(found) > np.diag(covariance) + by_itself).all(), "tails of t are wider than its scale"


def test_what_is_drawn_for_a_stage_does_not_depend_on_those_after_it() -> None:
    fit = fit_shop(rows_of(4, 20))
    assert draw(fit, COMING, 200, 1)[:3] == pytest.approx(draw(fit, COMING[:3], 200, 1), abs=1e-9)


def test_a_pause_sets_the_count_back_by_no_more_than_the_slope_over_a_quarter_of_it() -> None:
    fit = fit_shop(rows_of(4, 20))
    coming = COMING[:1]
    slower = (draw(fit, coming, 20_000, 1, gap=1.0) - draw(fit, coming, 20_000, 1)).mean()
    assert slower == pytest.approx(-fit.slope(0, 0) * FORGOTTEN / 2, rel=0.1)
    half = (draw(fit, coming, 20_000, 1, gap=0.5) - draw(fit, coming, 20_000, 1)).mean()
    assert half == pytest.approx(slower / 2, rel=0.02)


def test_a_stage_without_route_minutes_is_what_its_first_batch_was() -> None:
    one = np.ones(1, np.int64)
    rows = ShopRows(one, one, one, 0 * one, one, one + 5, np.log([90.0]), np.log([15.0]), np.ones(1), frozenset({1}))
    told = [expected(fit_shop(r), [Coming(1, 1, 1, 1, 7, 12, np.log(15), without_route=True)])[0][0]
            for r in (rows, replace(rows, without_route=frozenset()))]  # fmt: skip
    assert np.exp(told[0]) == pytest.approx(78, abs=10)
    assert told[1] < told[0]
