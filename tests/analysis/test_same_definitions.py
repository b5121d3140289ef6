"""The frame's sums are those of the figures, whatever was pressed: one definition of minutes per piece."""

from __future__ import annotations

from hypothesis import given

from shopclock.analysis.learning.frame import row_frame
from shopclock.analysis.learning.stage_trend import stage_trend
from shopclock.shop.figures.batch_figures import Minutes, StageFigures, figures
from shopclock.shop.figures.trend_rows import TrendRow, trend_rows
from shopclock.shop.values.entities import Batch
from tests.shop.histories import HISTORIES, play
from tests.shop.workshop import Shop

SUMS = ["pieces", "run_us", "setup_us", "rework_us"]


def played(history: list[tuple[int, int, int, int]]) -> tuple[list[TrendRow], dict[tuple[int, int], StageFigures]]:
    """Rows and figures of every batch after a history of presses."""
    shop = Shop(4)
    shop.new_batch(2)
    play(shop, history)
    now_us = shop.clock.now_us
    numbers = [batch.id for batch in shop.floor.all(Batch)]
    rows = [row for number in numbers for row in trend_rows(shop.floor, number, now_us)]
    found = {(n, s.stage_id): s for n in numbers for s in figures(shop.floor, n, now_us).stages}
    return rows, found


@given(HISTORIES)
def test_rows_of_a_batch_at_a_stage_add_up_to_its_figures(history: list[tuple[int, int, int, int]]) -> None:
    rows, expected = played(history)
    sums = row_frame(rows).groupby(["batch_id", "stage_id"])[SUMS].sum()
    found = {key: (line[0], Minutes(*line[1:])) for key, *line in sums.itertuples(name=None)}
    assert found == {key: (s.passed, s.of_passed) for key, s in expected.items() if s.passed}


@given(HISTORIES)
def test_every_row_is_in_its_stages_trend_once_with_its_minutes(history: list[tuple[int, int, int, int]]) -> None:
    rows, _ = played(history)
    for stage_id in {row.stage_id for row in rows}:
        lots = stage_trend(rows, stage_id).lots
        own = [row for row in rows if row.stage_id == stage_id]
        assert sorted((lot.batch_id, lot.minutes) for lot in lots) == sorted((r.batch_id, r.per_piece_min) for r in own)
        assert sum(lot.pieces for lot in lots) == sum(row.pieces for row in own)
