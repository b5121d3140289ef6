"""All that is asked of a stage at once: one footing for all methods, curves of the fit, places in the stage's count."""

from __future__ import annotations

import pickle
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from shopclock.analysis.learning.change import Change
from shopclock.analysis.learning.lately import lately
from shopclock.analysis.learning.learning import Learning
from shopclock.analysis.learning.methods import Comparison, compare
from shopclock.analysis.learning.shop_record import shop_record
from shopclock.analysis.learning.stage_answer import StageAnswer, stage_answer
from shopclock.analysis.learning.stage_trend import StageCount, stage_trend
from shopclock.analysis.model.shop_model import Coming, draw
from shopclock.analysis.model.verdict import Verdict
from tests.analysis.rows import BEVELS, FREEHAND, JIG, MIN_US, row

if TYPE_CHECKING:
    from shopclock.shop.figures.trend_rows import TrendRow

FALLING = (24.0, 20.1, 18.8, 17.2, 16.6, 15.9, 15.1)
FLAT = (18.0, 18.4, 17.7, 18.1, 18.2, 17.9, 18.0)


def rows(*, jig_setup_from: int = 99) -> list[TrendRow]:
    """Freehand and jig in turn; the jig's set-up, 10 min, is pressed from one batch on and inside its run before."""
    made = [row(2 * i + 2, m, 5) for i, m in enumerate(FALLING)]
    for i, m in enumerate(FLAT):
        pressed = i >= jig_setup_from
        run = m if pressed or jig_setup_from == 99 else m + 2
        made.append(row(2 * i + 1, run, 5, method=JIG, setup_us=10 * MIN_US if pressed else 0))
    return made


@pytest.fixture
def answer() -> StageAnswer:
    return stage_answer(rows(), BEVELS)


def test_a_falling_method_is_told_from_a_flat_one(answer: StageAnswer) -> None:
    jig, freehand = answer.methods
    for method, verdict in ((freehand, Verdict.FASTER), (jig, Verdict.STEADY)):
        assert isinstance(method.change, Change)
        assert method.change.verdict is verdict
    fall, level = freehand.curves[1].middles, jig.curves[1].middles
    assert fall[0] / fall[-1] > 1.5
    assert level[0] / level[-1] < 1.2


def test_the_curve_ends_in_the_next_batch_and_its_band_holds_it(answer: StageAnswer) -> None:
    for method in answer.methods:
        ahead, curve = method.next_batch[1], method.curves[1]
        assert curve.lows[-1] < ahead.minutes < curve.highs[-1]
        assert ahead.in_95.low < ahead.in_80.low < ahead.minutes < ahead.in_80.high < ahead.in_95.high


def test_the_range_of_the_next_batch_is_that_of_the_draws(answer: StageAnswer) -> None:
    """The page's range, of a normal and a t side by side, against ten thousand draws of the model."""
    record = shop_record(rows())
    coming = [Coming(BEVELS, 1, FREEHAND, record.fit.batches, 36, 40, record.offset(BEVELS, 1, 5), without_route=True)]
    logs = draw(record.fit, coming, 20_000, 1)[0]
    found = answer.methods[1].next_batch[1]
    assert np.quantile(logs, [0.1, 0.5, 0.9]) == pytest.approx(
        np.log([found.in_80.low, found.minutes, found.in_80.high]), abs=0.03
    )


def test_the_curve_reaches_from_the_first_piece_to_the_end_of_the_next_batch(answer: StageAnswer) -> None:
    counts = answer.methods[1].curves[1].counts
    assert (counts[0], counts[-1]) == (1, 40)


def test_the_next_batch_is_as_large_as_the_newest_that_is_through() -> None:
    more = [*rows(), row(30, 16.0, 2, complete=False)]
    assert stage_answer(more, BEVELS).methods[1].ahead == 5


def test_set_up_stands_with_run_in_all_methods_where_it_does_in_one() -> None:
    answer = stage_answer(rows(jig_setup_from=3), BEVELS)
    jig, freehand = answer.methods
    assert answer.trend.with_setup
    for method in (jig, freehand):
        assert isinstance(method.fit, Learning)
        assert method.fit.fitted.with_setup
    assert isinstance(jig.fit, Learning)
    assert [p.minutes for p in jig.fit.points] == pytest.approx([m + 2 for m in FLAT])


def test_methods_are_compared_on_one_footing_whether_set_up_was_pressed_or_not() -> None:
    """The same batches, with the jig's set-up pressed late or never: the same answer."""
    inside = [row(2 * i + 1, m + 2, 5, method=JIG) for i, m in enumerate(FLAT)]
    plain = [one for one in rows() if one.method_id == FREEHAND] + inside
    pair = []
    for some in (rows(jig_setup_from=3), plain):
        trend = stage_trend(some, BEVELS)
        pair.append(compare(trend.methods[1].lots, trend.methods[0].lots))
    one, other = pair
    assert isinstance(one, Comparison)
    assert isinstance(other, Comparison)
    assert (one.count, one.low, one.high) == (other.count, other.low, other.high)
    assert one.now == pytest.approx(other.now)


def test_the_comparison_names_the_two_it_is_of(answer: StageAnswer) -> None:
    assert answer.compared == (1, 0)
    assert isinstance(answer.comparison, Comparison)
    assert answer.main is answer.methods[1]


def test_a_place_in_a_methods_count_stands_after_all_that_began_before_it(answer: StageAnswer) -> None:
    count = StageCount(answer.trend)
    jig, freehand = answer.trend.methods
    assert [count.at(jig, n) for n in (1, 5, 6)] == [1, 5, 11]
    assert [count.at(freehand, n) for n in (1, 5, 6)] == [6, 10, 16]
    assert count.made == 70
    assert count.at(freehand, 36) == 71, "the next piece follows all that was made"


def test_what_was_made_before_timing_stands_before_everything() -> None:
    trend = stage_trend(rows(), BEVELS, {(BEVELS, FREEHAND, False): 30, (BEVELS, JIG, False): 20})
    count = StageCount(trend)
    assert count.at(trend.methods[0], 21) == 51
    assert count.at(trend.methods[1], 31) == 56


def test_an_answer_is_plain_values_that_cross_to_the_window(answer: StageAnswer) -> None:
    assert pickle.loads(pickle.dumps(answer)) == answer  # noqa: S301  # our own


def test_rows_cut_away_leave_counts_as_they_were() -> None:
    """Other stages' old batches don't come along; what they made does."""
    old = [row(1000 + i, 10.0, 4, stage_id=9, first_us=i) for i in range(500)]
    made = [replace(one, first_us=one.first_us + 10**9) for one in rows()]
    kept, before = lately([*old, *made], BEVELS, {(9, FREEHAND, False): 7})
    assert len(kept) == len(made) + 400 - len({one.batch_id for one in made})
    assert before[9, FREEHAND, False] == 7 + 4 * (500 - (len(kept) - len(made)))
    assert shop_record(kept, before).made == shop_record([*old, *made], {(9, FREEHAND, False): 7}).made
