"""By count: dots, curve or flat line with its band, the crossing, and the next batch."""

from __future__ import annotations

from dataclasses import replace
from math import log
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.cumulative import CumulativeAverage
from shopclock.analysis.learning.factors import from_log
from shopclock.analysis.learning.learning import Learning
from shopclock.analysis.learning.methods import Comparison
from shopclock.analysis.learning.sentences import how_much
from shopclock.analysis.learning.stage_count import StageCount
from shopclock.screens.trends.methods_beside import crosses, pair_of
from shopclock.screens.trends.shown import lot_key, used
from shopclock.screens.trends.texts import about, within
from shopclock.shop.state.wording import word
from shopclock.views.chart_picture import Ahead, Band, Dot, Picture, Series, Upright

if TYPE_CHECKING:
    from shopclock.analysis.learning.lot import Lot
    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.screens.trends.shown import Shown

AROUND = 0.02
"""How far the axis reaches beyond the last mark, as a share of it."""

FAR_ON = 0.2
"""Where so much of the count was made before the first mark, the axis begins there."""


def count_picture(shown: Shown) -> Picture:
    """Return the chart by count: on the stage's count over all methods, or each method on its own."""
    place = _Place(shown)
    average = shown.main.average
    if shown.choice.average and isinstance(average, CumulativeAverage):
        return _picture(shown, (_averages(shown, average),))
    series = tuple(_series(shown, method, place) for method in shown.answer.methods)
    return replace(_picture(shown, series), ahead=_ahead(shown, place), uprights=_crossing(shown, place))


def _picture(shown: Shown, series: tuple[Series, ...]) -> Picture:
    xs = [x for one in series for x in (*(d.x for d in one.dots), *(one.band.xs if one.band else ()))]
    first, last = min(xs, default=0.0), max(xs, default=1.0)
    return Picture(
        series=series,
        ticks=None,
        first_x=0.0 if first < FAR_ON * last else first * (1 - AROUND),
        last_x=last * (1 + AROUND),
        chosen=shown.choice.key,
        unit=shown.unit,
        below=_below(shown),
    )


def _below(shown: Shown) -> str:
    pieces = f"{shown.piece.many} so far"
    if shown.choice.average:
        return f"{pieces}, the average of all up to there"
    if len(shown.answer.methods) < 2:
        return pieces
    return f"{pieces}, each method counted on its own" if shown.choice.own_counts else f"{pieces}, all methods together"


class _Place:
    """Where a place in a method's own count is drawn."""

    def __init__(self, shown: Shown) -> None:
        self._own = shown.choice.own_counts
        self._count = StageCount(shown.answer.trend)

    def of(self, method: MethodAnswer, own: float) -> float:
        return own if self._own else self._count.at(method.trend, own)


def _series(shown: Shown, method: MethodAnswer, place: _Place) -> Series:
    role, shape, dashed = shown.mark(method)
    dots = tuple(_dot(shown, method, lot, place) for lot in method.trend.lots)
    return Series(shown.name(method), note(shown, method), role, shape, dashed, dots, _band(shown, method, place))


def note(shown: Shown, method: MethodAnswer) -> str:
    """Say beside its line what a method does: 13 % quicker; flat."""
    if isinstance(method.fit, NoAnswer):
        return "left out" if method.trend.mixed else method.fit.text(word(shown.floor, "batch").many)
    return how_much(method.fit) or str(method.fit.verdict)


def _dot(shown: Shown, method: MethodAnswer, lot: Lot, place: _Place) -> Dot:
    hollow = lot.batch_id not in used(method) or lot.left_out is not None
    x = place.of(method, midpoint(method, lot))
    return Dot(lot_key(method, lot), x, shown.minutes(method, lot), hollow)


def midpoint(method: MethodAnswer, lot: Lot) -> float:
    """Return where a lot stands in its method's count: by the fit, else in its middle."""
    points = method.fit.points if isinstance(method.fit, Learning) else ()
    exact = next((point.midpoint for point in points if point.lot.batch_id == lot.batch_id), None)
    return (lot.first_piece + lot.last_piece) / 2 if exact is None else exact


def _band(shown: Shown, method: MethodAnswer, place: _Place) -> Band | None:
    found = method.curves.get(shown.pattern_of(method))
    if found is None:
        return None
    return Band(tuple(place.of(method, n) for n in found.counts), found.lows, found.middles, found.highs)


def _ahead(shown: Shown, place: _Place) -> Ahead | None:
    method = shown.main
    found = method.next_batch.get(shown.pattern_id)
    if found is None or not isinstance(method.fit, Learning):
        return None
    x = place.of(method, method.fit.made + (method.ahead + 1) / 2)
    said = f"next {word(shown.floor, 'batch').one} {about(found.minutes, found.in_80)}{within(found.in_80)}"
    return Ahead(x, found.minutes, found.in_80.low, found.in_80.high, said)


def _crossing(shown: Shown, place: _Place) -> tuple[Upright, ...]:
    """Mark where the later method passed the other, or will within what is drawn."""
    found, pair = shown.answer.comparison, pair_of(shown)
    if not isinstance(found, Comparison) or pair is None or found.count is None or not crosses(found):
        return ()
    later, earlier = pair
    if found.count > found.later.made + later.ahead:
        return ()
    return (Upright(place.of(later, found.count), f"{shown.name(later)} passes {shown.name(earlier)}"),)


def _averages(shown: Shown, average: CumulativeAverage) -> Series:
    """Return the running average and its curve. It has no band: neighbouring averages hold the same pieces."""
    role, shape, dashed = shown.mark(shown.main)
    keys = {lot.last_piece: lot_key(shown.main, lot) for lot in shown.main.trend.lots}
    dots = tuple(Dot(keys.get(n, ""), float(n), mean) for n, mean in average.averages)
    last = average.averages[-1][0]
    xs = tuple(1 + (last - 1) * (i / 80) ** 2 for i in range(81))
    ys = tuple(average.first_piece_min * from_log(average.b * log(x)) for x in xs)
    return Series(shown.name(shown.main), "average so far", role, shape, dashed, dots, Band(xs, ys, ys, ys))
