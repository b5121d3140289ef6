"""The next batch from this shop's own record: hours of work and finished pieces, as draws."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.history import ENOUGH, loss_shares, lost_of
from shopclock.analysis.forecast.stage_forecast import (
    Basis,
    StageEstimates,
    StageForecast,
    StageJob,
    common_correlation,
    method_used,
    pooled,
    stage_forecast,
)

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.forecast.history import Done, History
    from shopclock.shop.figures.trend_rows import TrendRow

    Floats = npt.NDArray[np.float64]
    Ints = npt.NDArray[np.int64]

DRAWS = 10_000
QUICK_DRAWS = 1000
"""Enough for a rough answer, and to tell which change helps most."""
SEED = 20_261_113
LIKELY, EVEN, SURER = 0.80, 0.50, 0.95


@dataclass(frozen=True, slots=True)
class BatchJob:
    """A batch to come: its pattern, how many blanks, and its stages in the order of the route."""

    pattern_id: int
    pieces: int
    stages: tuple[StageJob, ...]


@dataclass(frozen=True, slots=True)
class Forecast:
    """Draws of a batch to come: labour in `minutes` (stages × draws), `finished` pieces (draws)."""

    job: BatchJob
    stages: tuple[StageForecast, ...]
    minutes: Floats
    finished: Ints

    @property
    def total_min(self) -> Floats:
        """Labour of the batch in minutes (draws)."""
        total: Floats = self.minutes.sum(axis=0)
        return total

    def hours(self, share: float) -> float:
        """Return the hours that this share of draws needs no more than."""
        return at(self.total_min, share) / 60

    def stage_hours(self, index: int, share: float) -> float:
        """Return the same of one stage."""
        return at(self.minutes[index], share) / 60

    @property
    def from_route(self) -> tuple[StageForecast, ...]:
        """The stages that rest on the route's own value, for want of batches."""
        return tuple(stage for stage in self.stages if stage.basis is Basis.ROUTE)

    def said(self, batches: str = "batches") -> str:
        """Say what it rests on, where some of it is not the shop's own record; nothing where all is."""
        few = self.from_route
        if not few:
            return ""
        none = [stage.job.name for stage in few if not stage.job.route_min + stage.job.route_once_min]
        if len(none) == len(self.stages):
            return f"Neither {batches} nor the route tell any minutes yet, so the work counts as nothing."
        told = f"Not enough {batches} yet for {', '.join(stage.job.name for stage in few)}: the route's own minutes"
        if len(few) == len(self.stages):
            told = f"Not enough {batches} yet: all minutes are the route's own"
        told += ", times or divided by 2."
        return told + (f" The route tells none for {', '.join(none)}: counted as nothing." if none else "")


def at(draws: Floats | Ints, share: float) -> float:
    """Return the value that this share of draws doesn't exceed: one that was drawn."""
    import numpy as np

    return float(np.quantile(draws, share, method="inverted_cdf"))


def forecast(knowledge: StageEstimates, job: BatchJob, draws: int = DRAWS, seed: int = SEED) -> Forecast:
    """Return what a batch takes. The same record and seed give the same draws.

    The stages of a batch are drawn with one common correlation. Lost pieces are worked up to where they are lost,
    which lies anywhere along the route.
    """
    import numpy as np

    known = {s.stage_id: knowledge.of(s.stage_id, s.method_id) for s in job.stages}
    pool = pooled(known)
    stages = tuple(stage_forecast(s, known[s.stage_id], job.pattern_id, job.pieces, pool) for s in job.stages)
    dice = np.random.default_rng(seed)
    batches = knowledge.history.batches
    shares, lots = loss_shares(batches, draws, dice), dice.random(draws)
    lost = lost_of(job.pieces, shares, lots, whole=len(batches) >= ENOUGH)
    off = _together(stages, common_correlation(known), draws, dice)
    # Of the lost pieces a stage is not worked on any more: none at the route's beginning, all of them at its end.
    passed = (np.arange(len(stages)) + 0.5) / max(1, len(stages))
    worked = job.pieces - lost[None, :] * passed[:, None]
    piece = np.array([stage.piece_min for stage in stages])[:, None]
    once = np.array([stage.once_min for stage in stages])[:, None]
    return Forecast(job, stages, (piece * worked + once) * off, job.pieces - lost)


def _together(stages: Sequence[StageForecast], rho: float, draws: int, dice: np.random.Generator) -> Floats:
    """Return the factors of the stages (stages × draws): exp(s·√(1+h)·z·√(df/χ²)), z with one common correlation."""
    import numpy as np

    common, own = dice.standard_normal(draws), dice.standard_normal((len(stages), draws))
    z = np.sqrt(rho) * common + np.sqrt(1 - rho) * own
    df = np.array([stage.df for stage in stages], float)[:, None]
    wide = np.array([stage.spread * np.sqrt(1 + stage.leverage) for stage in stages])[:, None]
    heavy = np.sqrt(df / dice.chisquare(df, (len(stages), draws)))
    factors: Floats = np.exp(np.clip(wide * z * heavy, -20, 20))
    return factors


@dataclass(frozen=True, slots=True)
class Honesty:
    """Past forecasts of the last `n` batches, of which `held` took no more than was told at 80 %."""

    held: int
    n: int

    def text(self, batches: str = "batches") -> str:
        """Say it: 7 of the last 9 batches came in within it."""
        return f"{self.held} of the last {self.n} {batches} came in within it" if self.n else f"no {batches} to go by"


def honesty(history: History, last: int = 9, draws: int = 2000) -> Honesty:
    """Forecast each of the last closed batches from those closed before it began, and count those that held.

    A batch with a stage of which too little was known then tells nothing of the record and is left out.
    """
    told = ((done, told_before(history, done, draws)) for done in history.batches[-last:])
    held = [done.labour_us / 60e6 <= at(one.total_min, LIKELY) for done, one in told if one is not None]
    return Honesty(sum(held), len(held))


def told_before(history: History, done: Done, draws: int = DRAWS) -> Forecast | None:
    """Return what would have been told of a past batch when it began; nothing where too little was known of a stage."""
    own = [row for row in history.rows if row.batch_id == done.batch_id and not row.mixed]
    if not own:
        return None
    stages = tuple(StageJob(row.stage_id, "", row.method_id, row.per_piece_min) for row in _largest(own))
    told = forecast(
        StageEstimates(history.before(done.started_us)), BatchJob(own[0].pattern_id, done.pieces, stages), draws
    )
    return None if told.from_route else told


def _largest(rows: Sequence[TrendRow]) -> list[TrendRow]:
    """Return one row of a stage: that of the method which had most pieces."""
    found: dict[int, TrendRow] = {}
    for row in sorted(rows, key=lambda r: (r.first_us, r.pieces)):
        if row.stage_id not in found or row.pieces > found[row.stage_id].pieces:
            found[row.stage_id] = row
    return list(found.values())


def job_of(history: History, pattern_id: int, pieces: int, stages: Sequence[StageJob]) -> BatchJob:
    """Return a job whose stages without a method are worked as they were last."""
    named = (
        s if s.method_id is not None else replace(s, method_id=method_used(history.rows, s.stage_id, pattern_id))
        for s in stages
    )
    return BatchJob(pattern_id, pieces, tuple(named))
