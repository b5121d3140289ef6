"""Mann-Kendall and the Sen slope against shared/published/trend.toml."""

from __future__ import annotations

import pytest

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.by_date import MannKendall, Sen, mann_kendall, sen
from tests.published.tables import tables

PUBLISHED = tables("trend")
EPA, HOLY_CROSS, LEAST_S = PUBLISHED["epa"], PUBLISHED["holy_cross"], PUBLISHED["least_s"]


def trend(values: list[float]) -> MannKendall:
    found = mann_kendall(values)
    assert not isinstance(found, NoAnswer)
    return found


def slope(times: list[float], values: list[float]) -> Sen:
    found = sen(times, values)
    assert not isinstance(found, NoAnswer)
    return found


def test_epa_example_17_6_trend() -> None:
    found = trend(EPA["values"])
    assert (found.s, found.variance) == (EPA["s"], EPA["variance"])
    assert round(found.z, 6) == EPA["z"]
    assert f"{found.p:.6e}" == f"{EPA['p']:.6e}"


def test_epa_example_17_6_slope() -> None:
    found = slope(EPA["times"], EPA["values"])
    assert round(found.slope, 7) == EPA["slope"]
    assert round(found.intercept, 7) == EPA["intercept"]
    assert found.limits is not None
    assert [round(found.limits.low, 5), round(found.limits.high, 5)] == EPA["slope_95"]


def test_worked_by_hand() -> None:
    found = trend(HOLY_CROSS["values"])
    assert found.s == HOLY_CROSS["s"]
    assert round(found.z, 4) == HOLY_CROSS["z"]
    assert round(found.p / 2, 4) == HOLY_CROSS["p"]


@pytest.mark.parametrize(("n", "least"), LEAST_S["two_sided"])
def test_what_it_takes_two_sided_at_5_percent(n: int, least: int) -> None:
    assert next(s for s in range(n * (n - 1) // 2 + 1) if _reachable(n, s) and _p(n, s) <= 0.05) == least


@pytest.mark.parametrize(("n", "least"), LEAST_S["one_sided"])
def test_what_it_takes_one_sided_at_5_percent(n: int, least: int) -> None:
    assert next(s for s in range(1, n * (n - 1) // 2 + 1) if _reachable(n, s) and _p(n, s) / 2 <= 0.05) == least


def _reachable(n: int, s: int) -> bool:
    return (n * (n - 1) // 2 - s) % 2 == 0


def _p(n: int, s: int) -> float:
    found = trend(_with_s(n, s))
    assert (found.s, found.exact) == (s, True)
    return found.p


def _with_s(n: int, s: int) -> list[float]:
    """An order of 1 … n with this S: the largest left go to the front until enough pairs are turned."""
    swaps, rest, found = (n * (n - 1) // 2 - s) // 2, [float(i) for i in range(n)], []
    while rest:
        turned = min(swaps, len(rest) - 1)
        swaps -= turned
        found.append(rest.pop(turned))
    return found
