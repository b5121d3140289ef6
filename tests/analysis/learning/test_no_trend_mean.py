"""What a stage takes where no change can be told: means by pattern and the range of one more batch."""

from __future__ import annotations

import math

import pytest
import scipy.stats

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.learning import NoTrendMean, no_trend_mean
from tests.analysis.lots import lots

MINUTES = [12.0, 20.0, 12.6, 21.0, 11.7, 19.4, 12.2]
PATTERNS = [1, 2, 1, 2, 1, 2, 1]


def found() -> NoTrendMean:
    answer = no_trend_mean(lots(MINUTES, patterns=PATTERNS))
    assert isinstance(answer, NoTrendMean)
    return answer


def test_the_mean_of_a_pattern_is_geometric_over_its_own_batches() -> None:
    own = [m for m, p in zip(MINUTES, PATTERNS, strict=True) if p == 1]
    assert found().at(1) == pytest.approx(scipy.stats.gmean(own))


def test_the_spread_is_that_of_the_analysis_of_variance() -> None:
    groups = [[math.log(m) for m, p in zip(MINUTES, PATTERNS, strict=True) if p == k] for k in (1, 2)]
    within = sum(scipy.stats.moment(g, 2) * len(g) for g in groups)
    assert found().df == 5
    assert found().spread == pytest.approx(math.sqrt(within / 5))


def test_the_range_is_that_of_one_more_batch_with_students_t() -> None:
    answer = found()
    half = scipy.stats.t.ppf(0.9, 5) * answer.spread * math.sqrt(1 + 1 / 3)
    ends = answer.next_range(2)
    assert math.log(ends.high / answer.at(2)) == pytest.approx(half)
    assert math.log(answer.at(2) / ends.low) == pytest.approx(half)


def test_it_takes_as_many_batches_as_a_rate_takes() -> None:
    assert no_trend_mean(lots(MINUTES[:5], patterns=PATTERNS[:5])) == NoAnswer(NoAnswerReason.FEW, 5, 6)


def test_identical_batches_have_a_mean_and_no_width() -> None:
    answer = no_trend_mean(lots([12.0] * 8))
    assert isinstance(answer, NoTrendMean)
    ends = answer.next_range(1)
    assert (ends.low, ends.high) == pytest.approx((12.0, 12.0))
