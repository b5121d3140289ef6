"""Mann-Kendall and the Sen slope against published.md, section 3."""

from __future__ import annotations

import pytest

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.by_date import MannKendall, Sen, mann_kendall, sen

EPA_T = [
    89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6, 94.1, 94.6, 95.1, 95.6, 95.8,
    96.1, 96.3, 96.6, 96.8,
]  # fmt: skip
EPA_Y = [
    480, 450, 490, 520, 485, 510, 510, 530, 510, 560, 560, 540, 590, 550, 600, 700, 570, 610, 650, 620, 830, 720, 590,
]  # fmt: skip
HOLY_CROSS = [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7]


def trend(values: list[float]) -> MannKendall:
    found = mann_kendall(values)
    assert not isinstance(found, NoAnswer)
    return found


def slope(times: list[float], values: list[float]) -> Sen:
    found = sen(times, values)
    assert not isinstance(found, NoAnswer)
    return found


def test_epa_example_17_6_trend() -> None:
    """USEPA 2009, Unified Guidance, EPA 530/R-09-007, Example 17-6."""
    found = trend(EPA_Y)
    assert (found.s, found.variance) == (194, 1428)
    assert round(found.z, 6) == 5.107322
    assert f"{found.p:.6e}" == "3.267574e-07"


def test_epa_example_17_6_slope() -> None:
    """The same; limits with Gilbert's interpolation (R. O. Gilbert 1987, Statistical Methods, 16.4.2)."""
    found = slope(EPA_T, EPA_Y)
    assert round(found.slope, 7) == 26.6666667
    assert round(found.intercept, 7) == -1909.3333333
    assert found.limits is not None
    assert (round(found.limits.low, 5), round(found.limits.high, 5)) == (20.00000, 35.71182)


def test_worked_by_hand() -> None:
    """College of the Holy Cross, Montserrat seminar: S 54, Z 2.9058, one-sided p .0018."""
    found = trend(HOLY_CROSS)
    assert found.s == 54
    assert round(found.z, 4) == 2.9058
    assert round(found.p / 2, 4) == 0.0018


@pytest.mark.parametrize(("n", "least"), [(5, 10), (6, 13), (7, 15), (8, 18), (9, 20), (10, 23)])
def test_what_it_takes_two_sided_at_5_percent(n: int, least: int) -> None:
    """Computed from the exact distribution, and in any table of Kendall's S."""
    assert next(s for s in range(n * (n - 1) // 2 + 1) if _reachable(n, s) and _p(n, s) <= 0.05) == least


@pytest.mark.parametrize(("n", "least"), [(4, 6), (5, 8), (6, 11), (7, 13), (8, 16), (9, 18), (10, 21)])
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
