"""Pooling against the literature: the mixed model of lme4, Stein's shrinkage, false discoveries."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from shopclock.analysis.model.shop_model import LOG_TEN, Scales, ShopRows, _Fitting, fit_shop
from shopclock.analysis.model.verdict import discoveries
from tests.published.tables import tables

TABLES = tables("pooling")
FLAT = 1e4
"""As wide a start as none at all, beside hundreds of milliseconds."""


def persons() -> ShopRows:
    """Persons as stages of one pattern and method; each day a batch of its own that has no luck."""
    reaction = np.array(TABLES["sleepstudy"]["reaction"])
    n = reaction.size
    one = np.ones(n, np.int64)
    person = np.repeat(np.arange(len(reaction)), reaction.shape[1])
    return ShopRows(person, one, one, 0 * one, one, one, reaction.ravel(), np.zeros(n), np.ones(1))


def test_persons_and_their_days_are_fitted_as_lme4_fits_them() -> None:
    told, rows = TABLES["sleepstudy"], persons()
    scales = Scales(
        maker=FLAT, shop_slope=FLAT, stage=told["sd_intercept"], pattern=1e-3, method=1e-3, slope=told["sd_days"],
        own=told["sd_residual"] ** 2, batch=1e-6, likeness=0.0,
    )  # fmt: skip
    fitting = _Fitting(rows, None, scales, learn=False, tails=False)
    fitting.x = np.tile(np.arange(10.0), 18) + LOG_TEN  # days stand where ln K − ln 10 does
    estimate, covariance = fitting._solve(whole=True)
    assert estimate[:2] == pytest.approx([told["intercept"], told["days"]], abs=6e-4)
    assert np.sqrt(np.diag(covariance)[:2]) == pytest.approx(_errors_by_hand(told), rel=1e-3)


def _errors_by_hand(told: dict[str, float]) -> list[float]:
    """Standard errors of intercept and days: in a balanced design the mean of 18 lines, each by least squares."""
    days = np.arange(10.0)
    design = np.column_stack([np.ones(10), days])
    each = np.linalg.inv(design.T @ design) * told["sd_residual"] ** 2
    each += np.diag([told["sd_intercept"] ** 2, told["sd_days"] ** 2])
    return list(np.sqrt(np.diag(each) / 18))


def test_averages_are_shrunk_as_efron_and_morris_shrink_them() -> None:
    """Stages without slopes about a maker of whom nothing is believed: each goes by the same factor to the mean."""
    told = TABLES["batting"]
    y = np.array(told["averages"])
    mean = y.mean()
    variance = mean * (1 - mean) / told["at_bats"]
    factor = 1 - (y.size - 3) * variance / ((y - mean) ** 2).sum()
    assert (mean, factor) == pytest.approx((told["grand_mean"], told["factor"]), abs=1e-3)
    one = np.ones(y.size, np.int64)
    rows = ShopRows(np.arange(y.size), one, one, 0 * one, 10 * one, 10 * one, y, 0 * y, np.ones(1))
    between = factor * variance / (1 - factor)
    scales = replace(_still(), stage=between**0.5, own=variance)
    fit = fit_shop(rows, scales=scales, tails=False)
    shrunk = fit.estimate[0] + fit.estimate[fit.columns.parts["stage"]]
    assert shrunk == pytest.approx(mean + factor * (y - mean), abs=1e-6)
    assert shrunk[0] == pytest.approx(told["first_shrunk"], abs=1e-3)


def _still() -> Scales:
    """Nothing moves but the stages."""
    return Scales(maker=FLAT, shop_slope=1e-9, pattern=1e-7, method=1e-7, slope=1e-9, batch=1e-14, likeness=0.0)


def test_as_many_are_found_as_benjamini_and_hochberg_find() -> None:
    from scipy.stats import false_discovery_control

    told = TABLES["false_discovery"]
    found = discoveries(told["p"], 0.05)
    assert sum(found) == told["rejected"]
    assert found == list(false_discovery_control(told["p"]) <= 0.05)
    assert sum(p <= 0.05 / len(told["p"]) for p in told["p"]) == told["bonferroni"]
