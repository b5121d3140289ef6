"""Minutes of a stage in a batch yet to be made, and how sure they are."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from statistics import fmean, median
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import from_log, learning
from shopclock.analysis.learning.stage_trend import stage_trend
from shopclock.shop.figures.trend_rows import TrendRow, counts

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.analysis.forecast.history import History
    from shopclock.analysis.learning.learning import Learning
    from shopclock.analysis.learning.stage_trend import Lot

FIT_FROM = 5
MEAN_FROM = 3
ROUTE_SPREAD = math.log(2) / 1.2815515655446004
"""Times or divided by 2 holds 10 to 90 % of what is drawn about a route's own value."""
SURE = 1_000_000
"""Degrees of freedom of a spread that was not estimated."""


class Basis(StrEnum):
    """Basis of a stage's forecast."""

    FIT = "fit"
    MEAN = "mean"
    ROUTE = "route"


@dataclass(frozen=True, slots=True)
class StageJob:
    """A stage of a batch to come: by which method, and the route's own minutes: of a piece, and once."""

    stage_id: int
    name: str
    method_id: int | None
    route_min: float
    route_once_min: float = 0.0


@dataclass(frozen=True, slots=True)
class StageForecast:
    """Labour of a stage: median minutes of a piece, and once for the batch; the spread of its logarithm.

    A draw is (piece · pieces + once) · exp(spread · √(1 + leverage) · t) with t of `df`; `n` batches are behind it.
    """

    job: StageJob
    piece_min: float
    once_min: float
    spread: float
    leverage: float
    df: int
    basis: Basis
    n: int


@dataclass(frozen=True, slots=True)
class StageKnown:
    """The lots of a stage's method, with all their labour but set-up as minutes, and the fit to them."""

    lots: tuple[Lot, ...]
    fit: Learning | NoAnswer
    setups_min: tuple[float, ...]

    def own(self, pattern_id: int) -> list[float]:
        """Return ln minutes of the pattern's own lots that count."""
        counted = (lot for lot in self.lots if lot.left_out is None and lot.minutes > 0)
        return [math.log(lot.minutes) for lot in counted if lot.pattern_id == pattern_id]


def stage_known(history: History, stage_id: int, method_id: int | None) -> StageKnown:
    """Return what the shop knows of a stage by a method: run and rework are in the minutes, set-up beside them."""
    trend = stage_trend(history.rows, stage_id, history.made_before)
    own = next((m for m in trend.methods if m.method_id == method_id and not m.mixed), None)
    lots = tuple(_with_rework(lot) for lot in own.lots) if own is not None else ()
    setups = tuple(lot.setup_us / 60e6 for lot in (own.lots if own is not None else ()) if lot.left_out is None)
    return StageKnown(lots, learning(lots) if lots else NO_FIT, setups)


NO_FIT = learning(())


def _with_rework(lot: Lot) -> Lot:
    """Return a lot whose minutes hold what was done again; its set-up is looked at by itself."""
    return replace(lot, minutes=lot.minutes + lot.rework_us / lot.pieces / 60e6, setup_us=0)


class StageEstimates:
    """Knowledge of the shop's stages, each worked out once: many batches ask for the same."""

    def __init__(self, history: History) -> None:
        self.history = history
        self._known: dict[tuple[int, int | None], StageKnown] = {}

    def of(self, stage_id: int, method_id: int | None) -> StageKnown:
        """Return what is known of a stage by a method."""
        key = (stage_id, method_id)
        if key not in self._known:
            self._known[key] = stage_known(self.history, *key)
        return self._known[key]


def method_used(rows: Sequence[TrendRow], stage_id: int, pattern_id: int) -> int | None:
    """Return the method by which a stage was worked last, of the same pattern if it was; nothing where never."""
    own = [row for row in rows if row.stage_id == stage_id and counts(row)]
    newest = max(own, key=lambda row: (row.pattern_id == pattern_id, row.middle_us), default=None)
    return newest.method_id if newest is not None else None


@dataclass(frozen=True, slots=True)
class Pooled:
    """The spread of ln minutes within stages, all stages of the shop together, and its degrees of freedom."""

    spread: float
    df: int


def pooled(known: Mapping[int, StageKnown]) -> Pooled:
    """Return the spread of the stages that have a fit; of those with a few batches where none has; else the route's."""
    fits = [one.fit.line for one in known.values() if not isinstance(one.fit, NoAnswer)]
    if fits:
        df = sum(line.df for line in fits)
        return Pooled(math.sqrt(sum(line.df * line.spread**2 for line in fits) / df), df)
    return _within(known)


def _within(known: Mapping[int, StageKnown]) -> Pooled:
    squares, df = 0.0, 0
    for one in known.values():
        for pattern in {lot.pattern_id for lot in one.lots}:
            logs = one.own(pattern)
            if len(logs) >= MEAN_FROM:
                squares += sum((log - fmean(logs)) ** 2 for log in logs)
                df += len(logs) - 1
    return Pooled(math.sqrt(squares / df), df) if df >= MEAN_FROM else Pooled(ROUTE_SPREAD, SURE)


def stage_forecast(job: StageJob, known: StageKnown, pattern_id: int, pieces: int, pool: Pooled) -> StageForecast:
    """Return a stage's forecast: the fit's from five batches up, a mean from three, else the route's own value.

    With the fit or a mean, set-up is the median of the last batches; a fit that has not seen the pattern twice says
    nothing of it.
    """
    fit, own = known.fit, known.own(pattern_id)
    once = median(known.setups_min[-8:]) if known.setups_min else job.route_once_min
    if not isinstance(fit, NoAnswer) and pattern_id in fit.fitted.patterns and fit.line.n >= FIT_FROM:
        told = fit.next_batch(pattern_id, pieces)
        return StageForecast(job, told.minutes, once, told.spread, told.leverage, told.df, Basis.FIT, fit.line.n)
    if len(own) >= MEAN_FROM:
        n = len(own)
        return StageForecast(job, from_log(fmean(own)), once, pool.spread, 1 / n, pool.df, Basis.MEAN, n)
    return StageForecast(job, job.route_min, job.route_once_min, ROUTE_SPREAD, 0.0, SURE, Basis.ROUTE, len(own))


def common_correlation(known: Mapping[int, StageKnown]) -> float:
    """Return how far the stages of one batch are off together: the mean correlation of residuals, from 0 to 1.

    Over all pairs of fitted stages with four batches in common, weighed by these.
    """
    import numpy as np

    off = [_residuals(one.fit) for one in known.values() if not isinstance(one.fit, NoAnswer)]
    total = weight = 0.0
    for i, one in enumerate(off):
        for other in off[i + 1 :]:
            both = sorted(one.keys() & other.keys())
            if len(both) >= 4:
                x, y = np.array([one[b] for b in both]), np.array([other[b] for b in both])
                size = math.sqrt(float(x @ x) * float(y @ y))
                total += len(both) * (float(x @ y) / size if size > 0 else 0.0)
                weight += len(both)
    return min(1.0, max(0.0, total / weight)) if weight else 0.0


def _residuals(fit: Learning) -> dict[int, float]:
    """Return ln(taken/expected) of a fit, by batch."""
    return {point.lot.batch_id: math.log(point.minutes / point.expected) for point in fit.points}
