"""Whatever a record holds, what is told of the next batch is finite and true."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from shopclock.analysis.forecast.forecast import forecast, forecasts, honesty
from shopclock.analysis.forecast.history import Done, History
from shopclock.analysis.forecast.stage_forecast import ShopEstimates
from shopclock.analysis.learning.sentences import change_text
from shopclock.analysis.learning.stage_answer import stage_answer
from shopclock.analysis.learning.stages_table import stages_table
from tests.analysis.forecasts import BEVEL, SAW, history, job
from tests.analysis.rows import DAY_US, MIN_US, row

if TYPE_CHECKING:
    from shopclock.shop.figures.trend_rows import TrendRow

YEARS_US = 3653 * DAY_US


def rows(minutes: list[float], pieces: list[int] | int = 5, **other: object) -> tuple[TrendRow, ...]:
    sizes = [pieces] * len(minutes) if isinstance(pieces, int) else pieces
    return tuple(
        row(i + 1, m, n, method=None, stage_id=stage, **other)
        for i, (m, n) in enumerate(zip(minutes, sizes, strict=True))
        for stage in (SAW, BEVEL)
    )


ODD: dict[str, tuple[TrendRow, ...]] = {
    "no rows": (),
    "one row": (row(1, 20.0, method=None, stage_id=BEVEL),),
    "a stage of zero minutes": (*rows([20.0] * 5), *(row(i, 0.0, method=None, stage_id=9) for i in range(1, 6))),
    "a stretch of thirty days": rows([20.0, 21.0, 43_200.0, 19.0, 20.0]),
    "sizes one and sixty": rows([20.0, 18.0, 30.0, 17.0, 25.0, 16.0], [1, 60, 1, 60, 1, 60]),
    "all alike": rows([20.0] * 8),
    "a millionth and a million": rows([1e-6, 1e6] * 4),
    "all guessed": rows([20.0] * 6, estimated_us=10**12),
    "all under way": rows([20.0] * 6, complete=False),
}


def record(name: str, *, lost: bool = False) -> History:
    made = ODD[name]
    batches = sorted({one.batch_id for one in made})
    done = tuple(Done(b, 5, 0 if lost else 5, 200 * MIN_US, b * DAY_US, (b + 1) * DAY_US - 1) for b in batches)
    return History(made, done, {})


@pytest.mark.parametrize("name", ODD)
@pytest.mark.parametrize("lost", [False, True], ids=["finished", "all pieces lost"])
@pytest.mark.parametrize("now_us", [None, YEARS_US], ids=["at once", "ten years on"])
@pytest.mark.parametrize("pieces", [1, 60])
def test_the_next_batch_is_told_in_finite_figures(name: str, lost: bool, now_us: int | None, pieces: int) -> None:
    known = ShopEstimates(record(name, lost=lost), now_us)
    for told in forecasts(known, [job(pieces), job(pieces)], 200):
        assert np.isfinite(told.minutes).all()
        assert (told.total_min > 0).all()
        assert told.tells
        assert np.isfinite([told.hours(share) for share in (0.1, 0.8, 0.95)]).all()
        assert "nan" not in told.said()
    assert honesty(record(name, lost=lost)).n <= 9


@pytest.mark.parametrize("name", ODD)
def test_trends_say_a_true_sentence(name: str) -> None:
    made = ODD[name]
    for line in stages_table(made, ()):
        assert "nan" not in change_text(line.change, since="26-01")
        assert line.to_win_min is None or np.isfinite(line.to_win_min)
    for stage in {one.stage_id for one in made}:
        for method in stage_answer(made, stage).methods:
            said = change_text(method.change, since="26-01")
            assert not any(word in said for word in ("nan", "inf", "64277845"))
            assert all(np.isfinite(list(curve.highs)).all() for curve in method.curves.values())


def test_a_stretch_of_thirty_days_hardly_moves_what_is_told() -> None:
    """A forgotten stop of a month in one of eight batches weighs as a batch that went wild, not as a month."""
    plain = History(rows([20.0, 21, 19, 20, 22, 19, 20, 21]), (), {})
    spoilt = History(rows([20.0, 21, 43_200, 20, 22, 19, 20, 21]), (), {})
    one, other = (forecast(ShopEstimates(h), job(), 2000).hours(0.5) for h in (plain, spoilt))
    assert other < 2 * one


def test_shops_of_one_stage_and_one_batch_are_told() -> None:
    one = history((10.0, 30.0))
    only = replace(one, rows=tuple(r for r in one.rows if r.stage_id == BEVEL))
    told = forecast(ShopEstimates(only), job(), 500)
    assert 20 < told.stages[1].piece_min < 35
