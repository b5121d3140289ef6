"""Mann-Kendall and the Sen slope against a published worked example."""

import pytest

from shopclock.analysis.mann_kendall import MannKendall, Sen, mann_kendall, sen

T = (89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6, 94.1, 94.6, 95.1, 95.6, 95.8,
     96.1, 96.3, 96.6, 96.8)  # fmt: skip
Y = (480, 450, 490, 520, 485, 510, 510, 530, 510, 560, 560, 540, 590, 550, 600, 700, 570, 610, 650, 620, 830, 720, 590)


def test_epa_example_17_6() -> None:
    """USEPA 2009, Unified Guidance, EPA 530/R-09-007, Example 17-6."""
    found, slope = mann_kendall(Y), sen(T, Y)
    assert isinstance(found, MannKendall)
    assert isinstance(slope, Sen)
    assert found.s == 194
    assert slope.slope == pytest.approx(26.6666667, abs=5e-8)
