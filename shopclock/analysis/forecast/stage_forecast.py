"""Labour of stages in batches yet to be made, as the shop's one model has it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from statistics import median
from typing import TYPE_CHECKING

from shopclock.analysis.learning.frame import NO_METHOD
from shopclock.analysis.learning.route_minutes import log_per_piece
from shopclock.analysis.learning.shop_record import shop_record
from shopclock.analysis.model.shop_model import Coming, draw, expected
from shopclock.shop.figures.trend_rows import TrendRow, counts

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.forecast.history import Done, History
    from shopclock.analysis.learning.shop_record import ShopRecord
    from shopclock.analysis.model.shop_model import ShopFit

    Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class StageJob:
    """A stage of a batch to come: by which method, and the route's own minutes: of a piece, and set-up of the batch.

    `route_min` is that of a piece in a batch of this size, what is stayed by for each load included.
    """

    stage_id: int
    name: str
    method_id: int | None
    route_min: float
    route_once_min: float = 0.0

    @property
    def method(self) -> int:
        """Number of the method, NO_METHOD where none is named."""
        return self.method_id or NO_METHOD


@dataclass(frozen=True, slots=True)
class BatchJob:
    """A batch to come, or an open one: its pattern, how many blanks, and its stages in the order of the route."""

    pattern_id: int
    pieces: int
    stages: tuple[StageJob, ...]
    batch_id: int | None = None


@dataclass(frozen=True, slots=True)
class StageForecast:
    """Labour of a stage: the median minutes of a piece (with what is done again), and of set-up for the batch.

    `n` batches of the stage are behind it. `known`: neither a batch nor the route tells anything else; then it has no
    minutes.
    """

    job: StageJob
    piece_min: float
    once_min: float
    n: int
    known: bool = True


GAP_FROM_US, GAP_TO_US = 42 * 86_400_000_000, 182 * 86_400_000_000
"""A pause sets the count back from six weeks on, in full after half a year. A start, no source."""
LAST = 8


class ShopEstimates:
    """Knowledge of the shop at one moment: its model, set-ups, what is done again; worked out once for all batches.

    `now_us` is the moment of the forecast; without it the next batch follows as batches usually do.
    """

    def __init__(self, history: History, now_us: int | None = None) -> None:
        self.history, self.now_us = history, now_us
        self._past: set[int] | None = None
        self._before: dict[int, ShopEstimates] = {}

    @cached_property
    def record(self) -> ShopRecord:
        """The rows that count."""
        return shop_record(self.history.rows, self.history.made_before, self.history.routes)

    @cached_property
    def _fitted(self) -> tuple[ShopFit, dict[int, int]]:
        record = self.record
        if self._past is not None:
            return record.fit_to(self._past)
        places = {batch: place for batch in record.batches if (place := record.place_of(batch)) is not None}
        return record.fit, places

    @property
    def fit(self) -> ShopFit:
        """The model."""
        return self._fitted[0]

    def before(self, done: Done) -> ShopEstimates:
        """Return what was known when a batch began: the batches closed by then; the scales are those of today."""
        if done.batch_id in self._before:
            return self._before[done.batch_id]
        found = ShopEstimates(self.history.before(done.started_us), done.started_us)
        found.__dict__["record"] = self.record
        found._past = {one.batch_id for one in found.history.batches}
        self._before[done.batch_id] = found
        return found

    @cached_property
    def _behind(self) -> dict[int, int]:
        """Number of batches behind each stage."""
        return self.fit.counts

    def pause(self) -> float:
        """Return how far the pause since the last work sets the count back, 0 to 1."""
        if self.now_us is None or not self.history.rows:
            return 0.0
        pause_us = self.now_us - max(row.middle_us for row in self.history.rows)
        return min(1.0, max(0.0, (pause_us - GAP_FROM_US) / (GAP_TO_US - GAP_FROM_US)))

    def apart(self) -> float:
        """Return the time from the last batch's start to now, in usual ones between batches."""
        if self.now_us is None or not self._fitted[1]:
            return 1.0
        started = dict(zip(self.record.batches, self.record.started_us, strict=True))
        return self.record.apart(max(started[batch] for batch in self._fitted[1]), self.now_us)

    def once_min(self, job: StageJob) -> float:
        """Return a batch's set-up in minutes: the median of the last eight by the method, else the route's.

        Where it stands with run, or is inside it, there is none besides.
        """
        if job.stage_id in self.record.with_setup:
            return 0.0
        setups = self._setups.get((job.stage_id, job.method), [])
        if setups:
            return median(setups[-LAST:])
        return job.route_once_min if not self._behind.get(job.stage_id) else 0.0

    @cached_property
    def _setups(self) -> dict[tuple[int, int], list[float]]:
        found: dict[tuple[int, int], list[float]] = {}
        for stage, method, setup_us in self._counted("stage_id", "method_id", "setup_us"):
            found.setdefault((stage, method), []).append(setup_us / 60e6)
        return found

    def again(self, stage_id: int) -> float:
        """Return what is done again at a stage, as a share of its run: of all batches together."""
        return self._again.get(stage_id, 0.0)

    @cached_property
    def _again(self) -> dict[int, float]:
        run: dict[int, int] = {}
        rework: dict[int, int] = {}
        for stage, run_us, rework_us in self._counted("stage_id", "run_us", "rework_us"):
            run[stage] = run.get(stage, 0) + run_us
            rework[stage] = rework.get(stage, 0) + rework_us
        return {stage: rework[stage] / us for stage, us in run.items() if us}

    def _counted(self, *names: str) -> list[tuple[int, ...]]:
        """Return columns of the rows that are known, by first start of their batches."""
        columns, known = self.record.columns, self._fitted[1]
        rows = zip(columns["batch_id"].tolist(), *(columns[name].tolist() for name in names), strict=True)
        return [row[1:] for row in rows if row[0] in known]

    def offset(self, job: StageJob, pattern_id: int, pieces: int) -> float | None:
        """Return ln minutes a piece as the route has it; nothing where nothing is known of the stage."""
        found = log_per_piece(self.record.routes, job.stage_id, pattern_id, pieces)
        if found is not None:
            return found
        return self.record.unsure_log if self._behind.get(job.stage_id) else _log(job.route_min)

    def coming(self, jobs: Sequence[BatchJob]) -> tuple[list[Coming], list[tuple[int, int]]]:
        """Return the stages of batches in this order as the model is asked for them, and which of which batch each is.

        Each batch's pieces follow those of the ones before in the count. Stages of which nothing is known are left out.
        """
        made = dict(self.record.made)
        found: list[Coming] = []
        of: list[tuple[int, int]] = []
        ahead = self.fit.batches
        for i, job in enumerate(jobs):
            place = self._fitted[1].get(job.batch_id) if job.batch_id is not None else None
            if place is None:
                place, ahead = ahead, ahead + 1
            for k, stage in enumerate(job.stages):
                offset = self.offset(stage, job.pattern_id, job.pieces)
                if offset is not None:
                    lot = self._lot(job, stage, made)
                    wide = stage.stage_id in self.record.without_route and stage.stage_id in self._behind
                    found.append(
                        Coming(stage.stage_id, job.pattern_id, stage.method, place, *lot, offset, without_route=wide)
                    )
                    of.append((i, k))
        return found, of

    def _lot(self, job: BatchJob, stage: StageJob, made: dict[tuple[int, int], int]) -> tuple[int, int]:
        own = self.record.lots.get((job.batch_id or 0, stage.stage_id, stage.method))
        if own is not None:
            return own
        key = (stage.stage_id, stage.method)
        first = made.get(key, 0) + 1
        made[key] = first + job.pieces - 1
        return first, max(first, made[key])

    def drawn(self, jobs: Sequence[BatchJob], draws: int, seed: int) -> tuple[list[list[StageForecast]], list[Floats]]:
        """Return the stages of each batch, and their labour for all pieces by draw: a piece's minutes, and set-up.

        The labour (for each batch stages × draws) is minutes a piece; a stage of which nothing is known has 0.
        """
        import numpy as np

        coming, of = self.coming(jobs)
        logs = draw(self.fit, coming, draws, seed, apart=self.apart(), gap=self.pause())
        middles = expected(self.fit, coming, self.apart())[0] if coming else np.zeros(0)
        told = [[StageForecast(stage, 0.0, 0.0, 0, known=False) for stage in job.stages] for job in jobs]
        minutes = [np.zeros((len(job.stages), draws)) for job in jobs]
        for row, (i, k) in enumerate(of):
            stage = jobs[i].stages[k]
            again = 1 + self.again(stage.stage_id)
            n = self._behind.get(stage.stage_id, 0)
            piece = math.exp(min(float(middles[row]), MOST_LOG)) * again
            told[i][k] = StageForecast(stage, piece, self.once_min(stage), n)
            minutes[i][k] = np.exp(np.clip(logs[row], -MOST_LOG, MOST_LOG)) * again
        return told, minutes


MOST_LOG = 40.0
"""Keeps absurd batches finite."""


def _log(minutes: float) -> float | None:
    return math.log(minutes) if minutes > 0 else None


def method_used(rows: Sequence[TrendRow], stage_id: int, pattern_id: int) -> int | None:
    """Return the method by which a stage was worked last, of the same pattern if it was; nothing where never."""
    own = [row for row in rows if row.stage_id == stage_id and counts(row)]
    newest = max(own, key=lambda row: (row.pattern_id == pattern_id, row.middle_us), default=None)
    return newest.method_id if newest is not None else None
