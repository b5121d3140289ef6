"""The best batch of a method."""

from __future__ import annotations

from shopclock.analysis.learning.stages_table import best
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.lots import lots


def test_the_best_has_three_pieces_and_counts() -> None:
    made = lots([9, 14, 12, 10, 14], [2, 5, 3, 5, 5], out={4: LeftOut.MIXED})
    found = best(made)
    assert found is not None
    assert found.number == 3
    assert best(lots([9, 8], 2)) is None
    assert best([]) is None
