"""The line under all fits against published.md, section 6."""

from __future__ import annotations

from importlib.resources import files

import numpy as np
import pytest

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import FittedLine, fit_line
from tests.analysis.outside import OLS


@pytest.fixture(scope="module")
def norris() -> tuple[list[float], list[float]]:
    """NIST StRD Norris, public domain; the file comes with SciPy's own tests."""
    text = (files("scipy") / "stats/tests/data/nist_linregress/Norris.dat").read_text("utf-8")
    rows = [line.split() for line in text.splitlines()[60:] if line.strip()]
    assert len(rows) == 36
    return [float(x) for _, x in rows], [float(y) for y, _ in rows]


@pytest.fixture
def line(norris: tuple[list[float], list[float]]) -> FittedLine:
    found = fit_line(*norris, ["all"] * 36)
    assert not isinstance(found, NoAnswer)
    return found


def test_norris_certified_values(line: FittedLine) -> None:
    """NIST Statistical Reference Datasets, Linear Regression, Norris."""
    assert line.at(0, "all") == pytest.approx(-0.262323073774029, rel=1e-11)
    assert line.spread * line.leverage(0, "all") ** 0.5 == pytest.approx(0.232818234301152, rel=1e-11)
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-14)
    assert line.slope_se == pytest.approx(0.429796848199937e-03, rel=1e-11)
    assert line.spread == pytest.approx(0.884796396144373, rel=1e-11)


def test_norris_prediction_at_500(line: FittedLine) -> None:
    """Computed with statsmodels for published.md; the hand formula agrees."""
    mean, new = line.mean_range(500, "all"), line.next_range(500, "all")
    assert round(line.at(500, "all"), 6) == 500.796086
    assert (round(mean.low, 6), round(mean.high, 6)) == (500.488196, 501.103975)
    assert (round(new.low, 6), round(new.high, 6)) == (498.971794, 502.620378)


def test_norris_prediction_by_statsmodels(norris: tuple[list[float], list[float]], line: FittedLine) -> None:
    x, y = norris
    other = OLS(np.array(y), np.column_stack([np.ones(36), x])).fit()
    new = other.get_prediction([[1, 500]]).conf_int(obs=True, alpha=0.05)[0]
    assert (line.next_range(500, "all").low, line.next_range(500, "all").high) == pytest.approx(tuple(new), rel=1e-10)
