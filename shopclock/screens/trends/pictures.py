"""The charts of a stage: by count, by date, batch after batch."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import log
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.learning import CumulativeAverage, Learning, from_log
from shopclock.analysis.learning.methods import Comparison
from shopclock.analysis.learning.run_chart import BatchAfterBatch
from shopclock.analysis.learning.stage_trend import StageCount
from shopclock.screens.trends.sentences import crosses, pair_of, time_text
from shopclock.screens.trends.shown import about, batch_name, lot_key, used, within
from shopclock.screens.trends.sizes import size_picture
from shopclock.screens.trends.state import View
from shopclock.shop.state.wording import day_text, shop_time, word, zone_of
from shopclock.shop.values.habits import figure
from shopclock.views.chart_picture import Ahead, Band, Dot, Picture, Series, Upright

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from shopclock.analysis.learning.run_chart import RunPoint as Told
    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.analysis.learning.stage_trend import Lot
    from shopclock.screens.trends.shown import Shown

DAY_US = 86_400_000_000
MOST = 9
MONTHS = (1, 2, 3, 6, 12, 24, 60, 120)
DAYS = (1, 2, 7, 14)

Tick = tuple[float, str]


def date_ticks(first_us: float, last_us: float, zone: ZoneInfo) -> tuple[Tick, ...]:
    """Return at most 9 dates between two instants, in days since 1970 UTC, each at its midnight in the shop.

    Days up to nine weeks, then the first of months: "12 Mar", "Mar 2026".
    """
    first, last = shop_time(int(first_us), zone), shop_time(int(last_us), zone)
    weeks = (last - first).days / 7
    days = _days(first, last) if weeks <= MOST else _months(first, last)
    return tuple((_place(day), text) for day, text in days if first_us <= _place(day) * DAY_US <= last_us)


def _place(day: datetime) -> float:
    """Return a wall clock time as days since 1970 UTC."""
    return (day - datetime(1970, 1, 1, tzinfo=UTC)) / timedelta(days=1)


def _midnight(at: datetime) -> datetime:
    return at.replace(hour=0, minute=0, second=0, microsecond=0)


def _days(first: datetime, last: datetime) -> list[tuple[datetime, str]]:
    step = next((step for step in DAYS if (last - first).days / step < MOST), DAYS[-1])
    start = _midnight(first)
    days = [start + timedelta(days=i) for i in range(0, (last - first).days + 2, step)]
    return [(day, day_text(day.date()).split(" ", 1)[1]) for day in days]


def _months(first: datetime, last: datetime) -> list[tuple[datetime, str]]:
    number, until = first.year * 12 + first.month - 1, last.year * 12 + last.month - 1
    step = next((step for step in MONTHS if (until - number) / step < MOST), MONTHS[-1])
    start = -(-number // step) * step
    days = [_midnight(first).replace(year=n // 12, month=n % 12 + 1, day=1) for n in range(start, until + 1, step)]
    return [(day, f"{day_text(day.date()).rsplit(' ', 1)[1]} {day.year}") for day in days]


Place = Callable[["MethodAnswer", float], float]
"""Place on the axis of a place in a method's own count."""

AROUND = 0.02
"""Reach of the axis beyond the last mark, as a share of it."""

FAR_ON = 0.2
"""Where so much of the count was made before the first mark, the axis begins there."""


def count_picture(shown: Shown) -> Picture:
    """Return the chart by count: on the stage's count over all methods, or each method on its own."""
    count, own_counts = StageCount(shown.answer.trend), shown.choice.own_counts

    def place(method: MethodAnswer, own: float) -> float:
        return own if own_counts else count.at(method.trend, own)

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


def _series(shown: Shown, method: MethodAnswer, place: Place) -> Series:
    role, shape, dashed = shown.mark(method)
    dots = tuple(_dot(shown, method, lot, place) for lot in method.trend.lots)
    return Series(shown.name(method), note(shown, method), role, shape, dashed, dots, _band(shown, method, place))


def note(shown: Shown, method: MethodAnswer) -> str:
    """Say beside its line what a method does: 13 % quicker; can't tell yet."""
    return "left out" if method.trend.mixed else shown.short(method)


def _dot(shown: Shown, method: MethodAnswer, lot: Lot, place: Place) -> Dot:
    hollow = lot.batch_id not in used(method) or lot.left_out is not None
    x = place(method, midpoint(method, lot))
    return Dot(lot_key(method, lot), x, shown.minutes(method, lot), hollow)


def midpoint(method: MethodAnswer, lot: Lot) -> float:
    """Return where a lot stands in its method's count: by the fit, else in its middle."""
    points = method.fit.points if isinstance(method.fit, Learning) else ()
    exact = next((point.midpoint for point in points if point.lot.batch_id == lot.batch_id), None)
    return (lot.first_piece + lot.last_piece) / 2 if exact is None else exact


def _band(shown: Shown, method: MethodAnswer, place: Place) -> Band | None:
    found = method.curves.get(shown.pattern_of(method))
    if found is None:
        return None
    return Band(tuple(place(method, n) for n in found.counts), found.lows, found.middles, found.highs)


def _ahead(shown: Shown, place: Place) -> Ahead | None:
    method = shown.main
    found = method.next_batch.get(shown.pattern_id)
    if found is None:
        return None
    x = place(method, _made(method) + (method.ahead + 1) / 2)
    ends = within(found.in_80).replace(" (", ", ").rstrip(")")  # brackets are for what holds 19 times in 20
    said = f"next {word(shown.floor, 'batch').one} {about(found.minutes, found.in_80)}{ends}"
    return Ahead(x, found.minutes, found.in_80.low, found.in_80.high, said)


def _made(method: MethodAnswer) -> int:
    return max(lot.last_piece for lot in method.trend.lots)


def _crossing(shown: Shown, place: Place) -> tuple[Upright, ...]:
    """Mark where the later method passed the other, or will within what is drawn."""
    found, pair = shown.answer.comparison, pair_of(shown)
    if not isinstance(found, Comparison) or pair is None or found.count is None or not crosses(shown):
        return ()
    later, earlier = pair
    if found.high is None or found.count > _made(later) + later.ahead:
        return ()
    return (Upright(place(later, found.count), f"{shown.name(later)} passes {shown.name(earlier)}"),)


def _averages(shown: Shown, average: CumulativeAverage) -> Series:
    """Return the running average and its curve. It has no band: neighbouring averages hold the same pieces."""
    role, shape, dashed = shown.mark(shown.main)
    keys = {lot.last_piece: lot_key(shown.main, lot) for lot in shown.main.trend.lots}
    dots = tuple(Dot(keys.get(n, ""), float(n), mean) for n, mean in average.averages)
    last = average.averages[-1][0]
    xs = tuple(1 + (last - 1) * (i / 80) ** 2 for i in range(81))
    ys = tuple(average.first_piece_min * from_log(average.b * log(x)) for x in xs)
    return Series(shown.name(shown.main), "average so far", role, shape, dashed, dots, Band(xs, ys, ys, ys))


def picture(shown: Shown) -> Picture | None:
    """Return the chart of the view in sight; nothing where there is nothing to draw."""
    drawn = {View.COUNT: count_picture, View.DATES: _by_date, View.AFTER: _after, View.SIZES: size_picture}.get(
        shown.choice.view
    )
    return drawn(shown) if drawn else None


def _by_date(shown: Shown) -> Picture:
    days = [lot.at_us / DAY_US for lot in shown.answer.trend.lots]
    around = max(1.0, (max(days) - min(days)) * 0.02)
    first, last = min(days) - around, max(days) + around
    return Picture(
        series=tuple(_dated(shown, method) for method in shown.answer.methods),
        ticks=date_ticks(first * DAY_US, last * DAY_US, zone_of(shown.floor)),
        first_x=first,
        last_x=last,
        chosen=shown.choice.key,
        unit=shown.unit,
    )


def _dated(shown: Shown, method: MethodAnswer) -> Series:
    role, shape, dashed = shown.mark(method)
    known = used(method)
    dots = tuple(
        Dot(lot_key(method, lot), lot.at_us / DAY_US, shown.minutes(method, lot), lot.batch_id not in known)
        for lot in method.trend.lots
    )
    said, band = _slope(shown, method)
    return Series(shown.name(method), said, role, shape, dashed, dots, band)


PARTS = 24
"""A curve by date is drawn in so many straight parts."""


def _slope(shown: Shown, method: MethodAnswer) -> tuple[str, Band | None]:
    """Return the line that was tested, thin where it can't be told yet."""
    found, line = method.dates, shown.drift(method)
    if isinstance(found, NoAnswer) or line is None:
        return note(shown, method), None
    if not found.trend.significant:
        return "can't tell yet", None
    ats = [line.first_us + (line.last_us - line.first_us) * i / PARTS for i in range(PARTS + 1)]
    ys = tuple(line.at(at) for at in ats)
    said = f"{figure(ys[0])} to {figure(ys[-1])} in {time_text(line.last_us - line.first_us)}"
    return said, Band(tuple(at / DAY_US for at in ats), ys, ys, ys)


def _after(shown: Shown) -> Picture | None:
    found = shown.main.after
    if not isinstance(found, BatchAfterBatch):
        return None
    role, shape, dashed = shown.mark(shown.main)
    dots = tuple(_told(shown, i, dot) for i, dot in enumerate(found.dots, 1))
    n = len(dots)
    lows, highs = (
        [100 * end / dot.expected for dot, end in zip(found.dots, ends, strict=True)]
        for ends in ([dot.limits.low for dot in found.dots], [dot.limits.high for dot in found.dots])
    )
    band = Band(tuple(float(i) for i in range(1, n + 1)), tuple(lows), (100.0,) * n, tuple(highs))
    return Picture(
        series=(Series(shown.name(shown.main), "", role, shape, dashed, dots, band),),
        ticks=tuple((float(i), batch_name(shown.floor, dot.lot)) for i, dot in enumerate(found.dots, 1)),
        first_x=0.5,
        last_x=n + 0.5,
        chosen=shown.choice.key,
        unit="minutes against what was expected",
        low=max(0.0, min(*lows, *(dot.y for dot in dots)) - 15),
        percent=True,
    )


def _told(shown: Shown, place: int, dot: Told) -> Dot:
    said = batch_name(shown.floor, dot.lot) if dot.told else ""
    return Dot(lot_key(shown.main, dot.lot), float(place), 100 * dot.minutes / dot.expected, text=said)
