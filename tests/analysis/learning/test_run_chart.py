"""Batch after batch: on what is left without the trend, told only when beyond three sigma."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.run_chart import BatchAfterBatch, batch_after_batch, individuals
from tests.analysis.lots import lots, on_curve

if TYPE_CHECKING:
    from shopclock.analysis.learning.stage_trend import Lot

WAVERING = [1.03, 0.97, 1.02, 0.98, 1.01, 0.99, 1.03, 0.98, 1.0, 0.97, 1.02, 1.0]


def chart(made: list[Lot]) -> BatchAfterBatch:
    found = batch_after_batch(made)
    assert not isinstance(found, NoAnswer)
    return found


def steep() -> list[float]:
    return [m * w for m, w in zip(on_curve(60, 0.75, [5] * 12), WAVERING, strict=True)]


def test_a_steady_fall_is_nothing_out_of_the_ordinary() -> None:
    found = chart(lots(steep()))
    assert found.by_fit
    assert not any(dot.told for dot in found.dots)


def test_one_batch_far_off_is_told_and_no_other() -> None:
    minutes = steep()
    minutes[8] *= 1.5
    assert [dot.lot.number for dot in chart(lots(minutes)).dots if dot.told] == [9]


def test_without_a_trend_the_mean_of_the_pattern_is_expected() -> None:
    patterns = [1, 2] * 6
    minutes = [(20 if p == 1 else 30) * w for p, w in zip(patterns, WAVERING, strict=True)]
    found = chart(lots(minutes, patterns=patterns))
    assert not found.by_fit
    own = [m for m, p in zip(minutes, patterns, strict=True) if p == 1]
    assert found.dots[0].expected == pytest.approx(math.prod(own) ** (1 / 6))


def test_limits_stand_around_what_was_expected() -> None:
    for dot in chart(lots(steep())).dots:
        assert dot.limits.low < dot.expected < dot.limits.high
        assert dot.limits.low * dot.limits.high == pytest.approx(dot.expected**2, rel=0.05)


def test_batches_alike_have_no_signal() -> None:
    found = chart(lots([20.0] * 12))
    assert not any(dot.signals for dot in found.dots)
    assert found.dots[0].limits.low == pytest.approx(20)


@pytest.mark.parametrize("n", [0, 1, 4])
def test_too_few_are_a_sentence(n: int) -> None:
    assert batch_after_batch(lots([20.0] * n)) == NoAnswer(NoAnswerReason.FEW, n if n > 1 else 0, 5)
    assert individuals([]) == NoAnswer(NoAnswerReason.FEW, 0, 2)


@given(st.lists(st.floats(5, 60), min_size=6, max_size=15), st.floats(0.1, 10))
def test_in_other_units_the_same_batches_are_marked(minutes: list[float], scale: float) -> None:
    one, other = chart(lots(minutes)), chart(lots([m * scale for m in minutes]))
    if one.by_fit == other.by_fit:
        assert [dot.signals for dot in one.dots] == [dot.signals for dot in other.dots]
