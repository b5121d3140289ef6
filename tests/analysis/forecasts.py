"""Histories made by hand for forecasts: batches at two stages, closed one after the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.forecast.history import Done, History
from shopclock.analysis.forecast.stage_forecast import BatchJob, StageJob
from tests.analysis.rows import DAY_US, MIN_US, row

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.analysis.learning.route_minutes import RouteMinutes

SAW, BEVEL = 1, 2
STAGES = (StageJob(SAW, "Saw", None, 10.0, 5.0), StageJob(BEVEL, "Bevel", None, 30.0))


def job(pieces: int = 5, stages: Sequence[StageJob] = STAGES) -> BatchJob:
    return BatchJob(1, pieces, tuple(stages))


def history(
    *minutes: tuple[float, float],
    pieces: int = 5,
    lost: Sequence[int] = (),
    routes: Mapping[tuple[int, int], RouteMinutes] | None = None,
) -> History:
    """Batches that took so many minutes for each piece, at sawing and bevelling; `lost` by batch, from the first."""
    gone = [*lost, *(0 for _ in minutes)]
    rows = tuple(
        row(i + 1, one, pieces, method=None, stage_id=stage)
        for i, both in enumerate(minutes)
        for stage, one in zip((SAW, BEVEL), both, strict=True)
    )
    batches = tuple(
        Done(
            i + 1, pieces, pieces - gone[i], round(sum(both) * pieces * MIN_US), (i + 1) * DAY_US, (i + 2) * DAY_US - 1
        )
        for i, both in enumerate(minutes)
    )
    return History(rows, batches, {}, routes or {})
