"""What goes into a trend, what stays out, and the maker's count."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopclock.analysis.learning.frame import NO_METHOD, row_frame
from shopclock.analysis.learning.stage_trend import stage_trend
from shopclock.shop.figures.trend_rows import LeftOut
from tests.analysis.rows import BEVELS, DAY_US, FREEHAND, JIG, MIN_US, row

MINUTES = st.floats(0.5, 90)


def counts_of(rows: list, method: int | None = FREEHAND) -> list[tuple[int, int, int]]:
    trend = stage_trend(rows, BEVELS)
    found = next(m for m in trend.methods if m.method_id == method and not m.mixed)
    return [(lot.batch_id, lot.first_piece, lot.last_piece) for lot in found.lots]


def test_the_count_goes_on_through_the_batches_over_all_patterns() -> None:
    rows = [row(1, 20, 5), row(2, 18, 7, pattern_id=2), row(3, 17, 6)]
    assert counts_of(rows) == [(1, 1, 5), (2, 6, 12), (3, 13, 18)]


def test_each_method_has_its_own_count() -> None:
    rows = [row(1, 20, 5), row(2, 18, 4, method=JIG), row(3, 17, 6), row(3, 18, 2, method=JIG)]
    assert counts_of(rows) == [(1, 1, 5), (3, 6, 11)]
    assert counts_of(rows, JIG) == [(2, 1, 4), (3, 5, 6)]


def test_rows_are_numbered_by_first_start_whatever_order_they_come_in() -> None:
    rows = [row(1, 20, 5, first_us=9 * DAY_US, middle_us=9 * DAY_US), row(2, 18, 7), row(3, 17, 6, middle_us=DAY_US)]
    assert counts_of(rows) == [(2, 1, 7), (3, 8, 13), (1, 14, 18)]
    assert [lot.number for lot in stage_trend(rows, BEVELS).lots] == [1, 2, 3]


def test_the_two_methods_of_one_batch_share_its_number() -> None:
    rows = [row(1, 20), row(2, 18, 4, method=JIG), row(2, 18, 3, first_us=2 * DAY_US + 5), row(3, 18)]
    assert [(lot.batch_id, lot.number) for lot in stage_trend(rows, BEVELS).lots] == [(1, 1), (2, 2), (2, 2), (3, 3)]


def test_what_was_made_before_the_first_row_is_counted() -> None:
    trend = stage_trend([row(1, 20, 5), row(2, 19, 5)], BEVELS, {(BEVELS, FREEHAND, False): 30})
    assert [(lot.first_piece, lot.last_piece) for lot in trend.lots] == [(31, 35), (36, 40)]


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"complete": False}, LeftOut.UNDER_WAY),
        ({"estimated_us": 20 * MIN_US + 1}, LeftOut.GUESSED),
        ({"shared_us": 1}, LeftOut.SHARED),
    ],
)
def test_a_row_left_out_says_why_and_still_advances_the_count(change: dict, reason: LeftOut) -> None:
    trend = stage_trend([row(1, 20), row(2, 20, 5, **change), row(3, 20)], BEVELS)
    assert [lot.left_out for lot in trend.lots] == [None, reason, None]
    assert trend.lots[2].first_piece == 11
    assert trend.left_out == ((reason, 1),)
    assert trend.methods[0].usual is not None
    assert trend.methods[0].usual.n == 2


def test_a_batch_left_out_in_two_methods_is_one_batch() -> None:
    trend = stage_trend([row(1, 20, complete=False), row(1, 18, method=JIG, complete=False)], BEVELS)
    assert trend.left_out == ((LeftOut.UNDER_WAY, 1),)


def test_a_fifth_guessed_is_not_more_than_a_fifth() -> None:
    assert stage_trend([row(1, 20, 5, estimated_us=20 * MIN_US)], BEVELS).left_out == ()


def test_mixed_rows_belong_to_no_method_and_have_a_count_of_their_own() -> None:
    rows = [row(1, 20), row(2, 22, 3, method=None, mixed=True), row(3, 19)]
    trend = stage_trend(rows, BEVELS)
    assert [(m.method_id, m.mixed) for m in trend.methods] == [(FREEHAND, False), (None, True)]
    assert counts_of(rows) == [(1, 1, 5), (3, 6, 10)]
    assert trend.methods[1].usual is None
    assert trend.left_out == ((LeftOut.MIXED, 1),)


def test_a_stage_without_methods_is_one_series() -> None:
    trend = stage_trend([row(1, 20, method=None), row(2, 21, method=None)], BEVELS)
    assert [(m.method_id, m.mixed, len(m.lots)) for m in trend.methods] == [(None, False, 2)]


def test_other_stages_stay_out() -> None:
    assert [lot.batch_id for lot in stage_trend([row(1, 20), row(2, 5, stage_id=9)], BEVELS).lots] == [1]


def test_no_rows_give_an_empty_trend() -> None:
    trend = stage_trend([row(1, 20, stage_id=9)], BEVELS)
    assert (trend.methods, trend.lots, trend.left_out, trend.main) == ((), (), (), None)


def test_the_main_method_is_the_one_worked_last_among_those_with_rows_that_count() -> None:
    rows = [row(1, 20, method=JIG), row(2, 19), row(3, 18, method=JIG, complete=False)]
    main = stage_trend(rows, BEVELS).main
    assert main is not None
    assert main.method_id == FREEHAND


def test_under_four_rows_there_is_only_the_last() -> None:
    found = stage_trend([row(n, 20 - n) for n in (1, 2, 3)], BEVELS).methods[0].usual
    assert found is not None
    assert (found.n, found.last_min, found.low_min) == (3, 17.0, None)


def test_usual_rests_on_the_last_eight_by_the_middle_of_their_labour() -> None:
    rows = [row(n, 30 - n) for n in range(1, 12)]
    found = stage_trend(rows, BEVELS).methods[0].usual
    assert found is not None
    assert (found.n, found.median_min, found.last_min) == (8, 22.5, 19.0)


@given(st.lists(MINUTES, min_size=4, max_size=20))
def test_the_usual_range_is_that_of_numpy_and_pandas(minutes: list[float]) -> None:
    """Quartiles "linear": numpy.quantile and pandas.Series.quantile as two outside answers."""
    method = stage_trend([row(n + 1, m) for n, m in enumerate(minutes)], BEVELS).methods[0]
    drawn = [lot.minutes for lot in method.lots[-8:]]
    assert drawn == pytest.approx(minutes[-8:], rel=1e-6)
    assert method.usual is not None
    said = (method.usual.low_min, method.usual.median_min, method.usual.high_min)
    assert said == pytest.approx(tuple(np.quantile(drawn, [0.25, 0.5, 0.75], method="linear")))
    assert said == pytest.approx(tuple(pd.Series(drawn).quantile([0.25, 0.5, 0.75])))


@given(st.lists(st.tuples(st.integers(1, 12), st.sampled_from([JIG, FREEHAND, None]), st.booleans()), max_size=30))
def test_counts_are_without_gap_or_overlap(made: list[tuple[int, int | None, bool]]) -> None:
    rows = [row(n + 1, 10, pieces, method=m, complete=c) for n, (pieces, m, c) in enumerate(made)]
    for method in stage_trend(rows, BEVELS).methods:
        numbers = [i for lot in method.lots for i in range(lot.first_piece, lot.last_piece + 1)]
        assert numbers == list(range(1, sum(lot.pieces for lot in method.lots) + 1))


def test_the_frame_of_nothing_has_its_columns() -> None:
    frame = row_frame([])
    assert frame.empty
    assert {"minutes", "left_out", "number", "first_piece", "last_piece", "middle_us"} <= set(frame.columns)


def test_the_frame_says_no_method_by_a_number_and_no_reason_by_an_empty_word() -> None:
    frame = row_frame([row(1, 20, method=None)])
    assert frame["method_id"].tolist() == [NO_METHOD]
    assert frame["left_out"].tolist() == [""]
