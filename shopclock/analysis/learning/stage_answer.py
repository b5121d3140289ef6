"""All that is asked of one stage at once: what Trends works out beside the window."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.by_date import Drift, by_date, disagree
from shopclock.analysis.learning.frame import NOTHING, Series
from shopclock.analysis.learning.learning import (
    CumulativeAverage,
    Curve,
    FitInput,
    Learning,
    NoTrendMean,
    Prediction,
    cumulative_average,
    curve,
    fit_input,
    learning,
    no_trend_mean,
)
from shopclock.analysis.learning.methods import Comparison, compare
from shopclock.analysis.learning.run_chart import BatchAfterBatch, batch_after_batch
from shopclock.analysis.learning.setup import FittedSetup, PressedSetup, fitted_setup, pressed_setup
from shopclock.analysis.learning.stage_trend import MethodTrend, StageTrend, stage_trend
from shopclock.shop.figures.trend_rows import LeftOut

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.analysis.learning.answer import NoAnswer
    from shopclock.shop.figures.trend_rows import TrendRow


@dataclass(frozen=True, slots=True)
class MethodAnswer:
    """One method of a stage: every answer, or why there is none. Curves and the next batch by pattern.

    `chosen`: what goes into a fit, and what stays out, whether there are enough batches or not.
    `ahead`: how many pieces the next batch is thought to have, as many as the newest that is through.
    """

    trend: MethodTrend
    chosen: FitInput
    fit: Learning | NoAnswer
    level: NoTrendMean | NoAnswer
    curves: Mapping[int, Curve]
    next_batch: Mapping[int, Prediction]
    ahead: int
    dates: Drift | NoAnswer
    disagree: bool
    after: BatchAfterBatch | NoAnswer
    average: CumulativeAverage | NoAnswer
    pressed: PressedSetup | NoAnswer
    setup: FittedSetup | NoAnswer | None


@dataclass(frozen=True, slots=True)
class StageAnswer:
    """A stage: its methods in the order of its trend, and the one worked last beside another.

    `comparison` is nothing where there is but one method.
    """

    trend: StageTrend
    methods: tuple[MethodAnswer, ...]
    comparison: Comparison | NoAnswer | None
    compared: tuple[int, int] | None

    @property
    def main(self) -> MethodAnswer | None:
        """The method worked last."""
        main = self.trend.main
        return next((method for method in self.methods if method.trend is main), None)


def stage_answer(rows: Sequence[TrendRow], stage_id: int, made_before: Mapping[Series, int] = NOTHING) -> StageAnswer:
    """Work out a stage from the rows of all batches; `made_before` as for `row_frame`."""
    trend = stage_trend(rows, stage_id, made_before)
    methods = tuple(_method(method, with_setup=trend.with_setup) for method in trend.methods)
    compared, comparison = _comparison(trend)
    return StageAnswer(trend, methods, comparison, compared)


def _method(method: MethodTrend, *, with_setup: bool) -> MethodAnswer:
    lots = method.lots
    fit, level = learning(lots, with_setup=with_setup), no_trend_mean(lots, with_setup=with_setup)
    dates = by_date(lots, with_setup=with_setup)
    through = [lot for lot in lots if lot.left_out is not LeftOut.UNDER_WAY]
    ahead = max(through or lots, key=lambda lot: lot.number).pieces
    curves: dict[int, Curve] = {}
    next_batch: dict[int, Prediction] = {}
    if isinstance(fit, Learning):
        next_batch = {pattern: fit.next_batch(pattern, ahead) for pattern in fit.fitted.patterns}
        if isinstance(level, NoTrendMean):
            curves = {pattern: curve(lots, fit, level, pattern, ahead) for pattern in fit.fitted.patterns}
    return MethodAnswer(
        trend=method,
        chosen=fit_input(lots, with_setup=with_setup),
        fit=fit,
        level=level,
        curves=curves,
        next_batch=next_batch,
        ahead=ahead,
        dates=dates,
        disagree=isinstance(fit, Learning) and isinstance(dates, Drift) and disagree(fit, dates),
        after=batch_after_batch(lots, with_setup=with_setup),
        average=cumulative_average(lots, with_setup=with_setup),
        pressed=pressed_setup(lots),
        setup=fitted_setup(fit) if isinstance(fit, Learning) else None,
    )


def _comparison(trend: StageTrend) -> tuple[tuple[int, int] | None, Comparison | NoAnswer | None]:
    """Compare the method worked last with the one worked last before it that can be compared; else say why not."""
    main = trend.main
    others = sorted((m for m in trend.methods if m is not main and not m.mixed), key=lambda m: -m.newest_us)
    if main is None or main.mixed or not others:
        return None, None
    found = [compare(main.lots, other.lots) for other in others]
    best = next((i for i, one in enumerate(found) if isinstance(one, Comparison)), 0)
    return (trend.methods.index(main), trend.methods.index(others[best])), found[best]
