"""All that is asked of one stage at once: what Trends works out beside the window."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.ahead import Ahead, Curve
from shopclock.analysis.learning.by_date import Drift, by_date
from shopclock.analysis.learning.change import Change, change
from shopclock.analysis.learning.frame import NO_METHOD, NOTHING, Series
from shopclock.analysis.learning.lately import lately
from shopclock.analysis.learning.learning import (
    CumulativeAverage,
    FitInput,
    Learning,
    Prediction,
    cumulative_average,
    fit_input,
    learning,
)
from shopclock.analysis.learning.methods import Comparison, compare
from shopclock.analysis.learning.route_minutes import routes_of
from shopclock.analysis.learning.run_chart import BatchAfterBatch, batch_after_batch
from shopclock.analysis.learning.setup import FittedSetup, PressedSetup, fitted_setup, pressed_setup
from shopclock.analysis.learning.shop_record import ShopRecord, shop_record
from shopclock.analysis.learning.stage_trend import MethodTrend, StageTrend, stage_trend
from shopclock.shop.figures.made_before import made_before
from shopclock.shop.figures.trend_rows import LeftOut

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.analysis.learning.answer import NoAnswer
    from shopclock.analysis.learning.route_minutes import RouteMinutes
    from shopclock.shop.figures.trend_rows import TrendRow
    from shopclock.shop.state.shop_floor import ShopFloor


@dataclass(frozen=True, slots=True)
class MethodAnswer:
    """One method of a stage: every answer, or why there is none.

    `chosen`: what goes in, and what stays out, whether there are enough batches or not. `change` is the verdict; `fit`
    the same stage looked at by itself, as a check. From the shop's one model, by pattern: `levels` (ln minutes of the
    next batch), `curves`, `next_batch`. `ahead`: how many pieces that is thought to have, as many as the newest that is
    through.
    """

    trend: MethodTrend
    chosen: FitInput
    change: Change | NoAnswer
    fit: Learning | NoAnswer
    levels: Mapping[int, float]
    curves: Mapping[int, Curve]
    next_batch: Mapping[int, Prediction]
    ahead: int
    dates: Drift | NoAnswer
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


def stage_answer(
    rows: Sequence[TrendRow],
    stage_id: int,
    made_before: Mapping[Series, int] = NOTHING,
    routes: Mapping[tuple[int, int], RouteMinutes] | None = None,
) -> StageAnswer:
    """Work out a stage from the rows of all stages (or those of whole batches alone); `made_before` as for `row_frame`.

    The other stages tell how far a shop's batches lie apart and how alike they are.
    """
    record = shop_record(rows, made_before, routes)
    trend = stage_trend(rows, stage_id, made_before)
    methods = tuple(_method(record, method, trend) for method in trend.methods)
    compared, comparison = _comparison(trend)
    return StageAnswer(trend, methods, comparison, compared)


def answer_of(floor: ShopFloor, rows: Sequence[TrendRow], stage_id: int) -> StageAnswer:
    """Work out a stage of a shop as Trends shows it, from the rows of all its stages."""
    lately_rows, before = lately(rows, stage_id, made_before(floor))
    return stage_answer(lately_rows, stage_id, before, routes_of(floor))


def _method(record: ShopRecord, method: MethodTrend, trend: StageTrend) -> MethodAnswer:
    lots, with_setup, stage = method.lots, trend.with_setup, trend.stage_id
    number = method.method_id or NO_METHOD
    chosen = fit_input(lots, with_setup=with_setup)
    own = fit_input(()) if method.mixed else chosen  # mixed pieces are of no method, and in no series
    fit = learning(lots, with_setup=with_setup)
    through = [lot for lot in lots if lot.left_out is not LeftOut.UNDER_WAY]
    ahead = max(through or lots, key=lambda lot: lot.number).pieces
    # A pattern is one to a stage: what one method tells of it, another knows.
    patterns = tuple(dict.fromkeys(lot.pattern_id for lot in trend.lots if lot.left_out is None)) if own.lots else ()
    model = Ahead(record, stage, number)
    return MethodAnswer(
        trend=method,
        chosen=chosen,
        change=change(record, stage, number, own),
        fit=fit,
        levels=model.levels(patterns, ahead),
        curves={pattern: model.curve(pattern, lots, ahead) for pattern in patterns},
        next_batch={pattern: model.next_batch(pattern, ahead) for pattern in patterns},
        ahead=ahead,
        dates=by_date(chosen, record.pool.likeness),
        after=batch_after_batch(record, stage, number, own),
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
