"""The next batch from this shop's own record: hours of work and finished pieces, as draws."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.history import ENOUGH, loss_shares, lost_of
from shopclock.analysis.forecast.stage_forecast import BatchJob, ShopEstimates, StageForecast, StageJob, method_used

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
    def unknown(self) -> tuple[StageForecast, ...]:
        """The stages of which neither a batch nor the route tells any minutes."""
        return tuple(stage for stage in self.stages if not stage.known)

    @property
    def tells(self) -> bool:
        """Some stage has minutes, so that there are hours to speak of."""
        return len(self.unknown) < len(self.stages)

    @property
    def at_least(self) -> str:
        """Words before hours where a stage is missing in them."""
        return "at least " if self.unknown else ""

    def said(self, batches: str = "batches") -> str:
        """Say what it rests on, where some of it is not the shop's own record; nothing where all is."""
        told = [_route_alone(self.stages, batches), _nothing_known(self.unknown)]
        return " ".join(part for part in told if part)


def _route_alone(stages: Sequence[StageForecast], batches: str) -> str:
    few = [stage.job.name for stage in stages if stage.known and not stage.n]
    if not few:
        return ""
    if any(stage.n for stage in stages):
        return f"No {batches} yet for {_listed(few)}: the route's minutes, put right by the other stages."
    return f"No {batches} yet: all minutes are the route's own, which may be far off."


def _nothing_known(stages: Sequence[StageForecast]) -> str:
    if not stages:
        return ""
    names = _listed([stage.job.name for stage in stages])
    return f"Nothing is known of {names} yet, neither from a route nor timed: the hours are without it."


def _listed(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]


def at(draws: Floats | Ints, share: float) -> float:
    """Return the value that this share of draws doesn't exceed: one that was drawn."""
    import numpy as np

    return float(np.quantile(draws, share, method="inverted_cdf"))


def forecast(knowledge: ShopEstimates, job: BatchJob, draws: int = DRAWS, seed: int = SEED) -> Forecast:
    """Return what a batch takes. The same record and seed give the same draws."""
    return forecasts(knowledge, [job], draws, seed)[0]


def forecasts(
    knowledge: ShopEstimates, jobs: Sequence[BatchJob], draws: int = DRAWS, seed: int = SEED
) -> tuple[Forecast, ...]:
    """Return what batches take that are worked in this order: they share the error of what is known of the shop.

    Lost pieces are worked up to where they are lost, which lies anywhere along the route.
    """
    import numpy as np

    told, minutes = knowledge.drawn(jobs, draws, seed)
    found = []
    for job, stages, each in zip(jobs, told, minutes, strict=True):
        dice = np.random.default_rng([seed, 4, job.batch_id or 0])
        batches = knowledge.history.batches
        shares, lots = loss_shares(batches, draws, dice), dice.random(draws)
        lost = lost_of(job.pieces, shares, lots, whole=len(batches) >= ENOUGH)
        # Of the lost pieces a stage is not worked on any more: none at the route's beginning, all of them at its end.
        passed = (np.arange(len(stages)) + 0.5) / max(1, len(stages))
        once = np.array([stage.once_min for stage in stages])[:, None]
        labour = each * (job.pieces - lost[None, :] * passed[:, None]) + once
        found.append(Forecast(job, tuple(stages), labour, job.pieces - lost))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Honesty:
    """Past forecasts of the last `n` batches, of which `held` took no more than was told at 80 %."""

    held: int
    n: int

    def text(self, batches: str = "batches") -> str:
        """Say it: 7 of the last 9 batches came in within it."""
        return f"{self.held} of the last {self.n} {batches} came in within it" if self.n else f"no {batches} to go by"


def honesty(history: History, last: int = 9, draws: int = 2000) -> Honesty:
    """Forecast each of the last closed batches from those closed before it began, and count those that held."""
    return hours_held(ShopEstimates(history), last, draws)


def hours_held(knowledge: ShopEstimates, last: int = 9, draws: int = 2000) -> Honesty:
    """Return the same of a shop that is known.

    The first batch, and one with a stage of which nothing was known then, tells nothing and is left out.
    """
    told = ((done, told_before(knowledge, done, draws)) for done in knowledge.history.batches[-last:])
    held = [done.labour_us / 60e6 <= at(one.total_min, LIKELY) for done, one in told if one is not None]
    return Honesty(sum(held), len(held))


def told_before(knowledge: ShopEstimates, done: Done, draws: int = DRAWS) -> Forecast | None:
    """Return what would have been told of a past batch when it began; nothing where too little was known."""
    own = [row for row in knowledge.history.rows if row.batch_id == done.batch_id and not row.mixed]
    before = knowledge.before(done)
    if not own or not before.history.batches:
        return None
    stages = tuple(StageJob(row.stage_id, "", row.method_id, 0.0) for row in _largest(own))
    told = forecast(before, BatchJob(own[0].pattern_id, done.pieces, stages, done.batch_id), draws)
    return None if told.unknown else told


def _largest(rows: Sequence[TrendRow]) -> list[TrendRow]:
    """Return one row of a stage: that of the method which had most pieces."""
    found: dict[int, TrendRow] = {}
    for row in sorted(rows, key=lambda r: (r.first_us, r.pieces)):
        if row.stage_id not in found or row.pieces > found[row.stage_id].pieces:
            found[row.stage_id] = row
    return list(found.values())


def job_of(
    history: History, pattern_id: int, pieces: int, stages: Sequence[StageJob], batch_id: int | None = None
) -> BatchJob:
    """Return a job whose stages without a method are worked as they were last; `batch_id` of an open batch."""
    named = (
        s if s.method_id is not None else replace(s, method_id=method_used(history.rows, s.stage_id, pattern_id))
        for s in stages
    )
    return BatchJob(pattern_id, pieces, tuple(named), batch_id)
