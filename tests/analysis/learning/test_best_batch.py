"""The best batch, and quicker or slower than all of the last eight."""

from __future__ import annotations

import pytest

from shopclock.analysis.learning.best_batch import BestBatch, best, compare_to_best
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.lots import lots

EIGHT = [20, 22, 19, 21, 23, 18, 20, 21]


@pytest.mark.parametrize(
    ("minutes", "said"),
    [(17.9, BestBatch.QUICKER), (18, None), (20, None), (23, None), (23.1, BestBatch.SLOWER)],
)
def test_outside_all_of_the_last_eight_is_said(minutes: float, said: BestBatch | None) -> None:
    made = lots([*EIGHT, minutes])
    assert compare_to_best(made, made[-1]) is said


def test_only_the_last_eight_before_it_are_looked_at() -> None:
    made = lots([5, *EIGHT, 17, 90])
    assert compare_to_best(made, made[9]) is BestBatch.QUICKER


def test_of_fewer_than_eight_nothing_is_said() -> None:
    made = lots([*EIGHT[:7], 1])
    assert compare_to_best(made, made[-1]) is None


def test_of_the_same_pattern_where_it_has_four() -> None:
    """Quick by its own pattern's standard, but that has seven only: nothing, though all others lie above."""
    made = lots([*EIGHT, *EIGHT[:7], 12], patterns=[1] * 8 + [2] * 8)
    assert compare_to_best(made, made[-1]) is None
    three = lots([*EIGHT, *EIGHT[:3], 12], patterns=[1] * 8 + [2] * 4)
    assert compare_to_best(three, three[-1]) is BestBatch.QUICKER


def test_what_does_not_count_is_neither_judged_nor_a_measure() -> None:
    made = lots([*EIGHT, 1], out={9: LeftOut.GUESSED})
    assert compare_to_best(made, made[-1]) is None
    fewer = lots([*EIGHT, 1], out={3: LeftOut.GUESSED})
    assert compare_to_best(fewer, fewer[-1]) is None


def test_set_up_does_not_make_a_batch_slower() -> None:
    made = lots([*EIGHT, 20], setup_min=[0] * 8 + [90])
    assert compare_to_best(made, made[-1]) is None


def test_the_best_has_three_pieces_and_counts() -> None:
    made = lots([9, 14, 12, 10, 14], [2, 5, 3, 5, 5], out={4: LeftOut.MIXED})
    found = best(made)
    assert found is not None
    assert found.number == 3
    assert best(lots([9, 8], 2)) is None
    assert best([]) is None
