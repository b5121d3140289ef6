"""From a trend to what stands where in the chart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.trends.dates import DAY_US, date_ticks
from shopclock.screens.trends.state import ChartState, Line, Point, Usually, View
from shopclock.screens.trends.words import a_piece, last_text, method_name, usual_text
from shopclock.shop.values import Batch
from shopclock.shop.wording import zone_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.analysis.stage_trend import Lot, MethodTrend, StageTrend
    from shopclock.shop.floor import Floor

MARKS = (("dye_text", "o", False), ("straw", "s", True), ("bronze", "t1", False), ("purple", "d", True))
"""Colour role, shape and dashes of a stage's methods, in the order they came; then they begin again."""
MIXED_MARK = ("quiet", "x", False)
AROUND = 0.5
"""How far a band and the axis reach beyond a batch, in batches."""


def lot_key(method: MethodTrend, lot: Lot) -> str:
    """Name a point: batch, method, and whether it is mixed."""
    return f"{lot.batch_id}:{method.method_id or 0}:{int(method.mixed)}"


def marks(trend: StageTrend) -> list[tuple[str, str, bool]]:
    """Return colour role, shape and dashes of each series of a trend."""
    return [MIXED_MARK if method.mixed else MARKS[i % len(MARKS)] for i, method in enumerate(trend.methods)]


def chart_state(floor: Floor, trend: StageTrend, view: View) -> ChartState:
    """Return the chart of a stage, batch by batch or by date; by date `x` counts days since 1970 UTC."""
    lots = trend.lots
    place = _by_date if view is View.DATES else _by_batch
    first, last = place(min(lots, key=place)), place(max(lots, key=place))
    around = max(1.0, (last - first) * 0.02) if view is View.DATES else AROUND
    if view is View.DATES:
        ticks = date_ticks((first - around) * DAY_US, (last + around) * DAY_US, zone_of(floor))
    else:
        names = {lot.number: floor.get(Batch, lot.batch_id).name for lot in lots}
        ticks = tuple((float(number), name) for number, name in sorted(names.items()))
    return ChartState(a_piece(floor), _lines(floor, trend, place, around), ticks, first - around, last + around)


def _by_batch(lot: Lot) -> float:
    return float(lot.number)


def _by_date(lot: Lot) -> float:
    return lot.at_us / DAY_US


def _lines(floor: Floor, trend: StageTrend, place: Callable[[Lot], float], around: float) -> tuple[Line, ...]:
    return tuple(
        Line(
            name=method_name(floor, trend, method),
            note=usual_text(method.usual) or last_text(method.usual) or "left out",
            role=role,
            shape=shape,
            dashed=dashed,
            points=tuple(
                Point(lot_key(method, lot), place(lot), lot.minutes, lot.left_out is not None) for lot in method.lots
            ),
            usually=_usually(method, place, around),
        )
        for method, (role, shape, dashed) in zip(trend.methods, marks(trend), strict=True)
    )


def _usually(method: MethodTrend, place: Callable[[Lot], float], around: float) -> Usually | None:
    usual = method.usual
    if usual is None or usual.low_min is None or usual.median_min is None or usual.high_min is None:
        return None
    xs = [place(lot) for lot in method.basis]
    return Usually(min(xs) - around, max(xs) + around, usual.low_min, usual.median_min, usual.high_min)
