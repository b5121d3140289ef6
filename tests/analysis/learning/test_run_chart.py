"""Batch after batch: each against the line of all the others."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.run_chart import BatchAfterBatch, batch_after_batch
from tests.analysis.lots import lots, on_curve
from tests.analysis.records import record_of
from tests.analysis.rows import BEVELS

WAVERING = [1.03, 0.97, 1.02, 0.98, 1.01, 0.99, 1.03, 0.98, 1.0, 0.97, 1.02, 1.0]


def chart(*args: object, **more: object) -> BatchAfterBatch:
    record, chosen = record_of(lots(*args, **more))
    found = batch_after_batch(record, BEVELS, 0, chosen)
    assert not isinstance(found, NoAnswer)
    return found


def steep() -> list[float]:
    return [m * w for m, w in zip(on_curve(60, 0.75, [5] * 12), WAVERING, strict=True)]


def test_a_steady_fall_is_nothing_out_of_the_ordinary() -> None:
    assert not any(dot.told for dot in chart(steep()).dots)


def test_one_batch_far_off_is_told_and_no_other() -> None:
    minutes = steep()
    minutes[8] *= 1.5
    assert [dot.lot.number for dot in chart(minutes).dots if dot.told] == [9]


def test_a_batch_of_four_times_is_told_among_five() -> None:
    assert [dot.lot.number for dot in chart([20.0, 19.4, 79.0, 18.8, 18.9]).dots if dot.told] == [3]


def test_limits_stand_around_what_the_others_let_expect() -> None:
    plain, spoilt = steep(), steep()
    spoilt[4] *= 3
    one, other = chart(plain).dots[4], chart(spoilt).dots[4]
    assert one.limits.low < one.expected < one.limits.high
    assert other.expected == pytest.approx(one.expected, rel=0.02), "it is no part of what is expected of it"


@pytest.mark.parametrize(("n", "patterns", "needed"), [(0, 1, 3), (2, 1, 3), (3, 2, 4)])
def test_too_few_are_a_sentence(n: int, patterns: int, needed: int) -> None:
    record, chosen = record_of(lots([20.0] * n, patterns=[1 + i % patterns for i in range(n)]))
    assert batch_after_batch(record, BEVELS, 0, chosen) == NoAnswer(NoAnswerReason.FEW, n, needed)


@given(st.lists(st.floats(5, 60), min_size=6, max_size=15), st.floats(0.1, 10))
def test_in_other_units_the_same_batches_are_told(minutes: list[float], scale: float) -> None:
    one, other = chart(minutes), chart([m * scale for m in minutes])
    near = [abs(dot.minutes / end - 1) < 1e-5 for dot in one.dots for end in (dot.limits.low, dot.limits.high)]
    assert [dot.told for dot in one.dots] == [dot.told for dot in other.dots] or any(near)
