"""By date, batch after batch, and by the size of a batch."""

from __future__ import annotations

from statistics import median
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer
from shopclock.analysis.learning.run_chart import BatchAfterBatch
from shopclock.screens.trends.count_picture import count_picture, note
from shopclock.screens.trends.dates import DAY_US, date_ticks
from shopclock.screens.trends.sentences import brought, span_of
from shopclock.screens.trends.shown import lot_key, used
from shopclock.screens.trends.sizes import size_picture
from shopclock.screens.trends.state import View
from shopclock.screens.trends.texts import batch_name
from shopclock.shop.state.wording import zone_of
from shopclock.views.chart_picture import Band, Dot, Picture, Series

if TYPE_CHECKING:
    from shopclock.analysis.learning.run_chart import RunPoint as Told
    from shopclock.analysis.learning.stage_answer import MethodAnswer
    from shopclock.screens.trends.shown import Shown

YEAR_DAYS = 365.25


def picture(shown: Shown) -> Picture | None:
    """Return the chart of the view in sight; nothing where there is nothing to draw."""
    drawn = {
        View.COUNT: count_picture,
        View.DATES: _by_date,
        View.AFTER: _after,
        View.SIZES: size_picture,
    }.get(shown.choice.view)
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


def _slope(shown: Shown, method: MethodAnswer) -> tuple[str, Band | None]:
    """Return the Sen slope through the medians where there is a trend, else the mean with its range."""
    found, level = method.dates, method.level
    if isinstance(found, NoAnswer):
        return note(shown, method), None
    days = [at / DAY_US for at in found.at_us]
    if found.trend.significant:
        factor, middle = brought(shown, method), median(days)
        at, slope = median(found.minutes) * factor, found.per_year_min * factor / YEAR_DAYS
        ys = tuple(at + slope * (day - middle) for day in (days[0], days[-1]))
        unit, share = span_of(found)
        said = f"{abs(slope) * YEAR_DAYS * share:.1f} {'less' if slope < 0 else 'more'} a {unit}"
        return said, _line(days, ys)
    if isinstance(level, NoAnswer):
        return "no clear change", None
    pattern = shown.pattern_of(method)
    ends, mean = level.next_range(pattern), level.at(pattern)
    return "no clear change", Band((days[0], days[-1]), (ends.low,) * 2, (mean,) * 2, (ends.high,) * 2)


def _line(days: list[float], ys: tuple[float, ...]) -> Band:
    return Band((days[0], days[-1]), ys, ys, ys)


def _after(shown: Shown) -> Picture | None:
    found = shown.main.after
    if not isinstance(found, BatchAfterBatch):
        return None
    role, shape, dashed = shown.mark(shown.main)
    dots = tuple(_told(shown, i, dot) for i, dot in enumerate(found.dots, 1))
    n, expected = len(dots), found.dots[0].expected
    low, high = (100 * end / expected for end in (found.dots[0].limits.low, found.dots[0].limits.high))
    middle = 100 * (found.dots[0].limits.low * found.dots[0].limits.high) ** 0.5 / expected
    band = Band((0.5, n + 0.5), (low,) * 2, (middle,) * 2, (high,) * 2)
    return Picture(
        series=(Series(shown.name(shown.main), f"{low:.0f} to {high:.0f} %", role, shape, dashed, dots, band),),
        ticks=tuple((float(i), batch_name(shown.floor, dot.lot)) for i, dot in enumerate(found.dots, 1)),
        first_x=0.5,
        last_x=n + 0.5,
        chosen=shown.choice.key,
        unit="minutes against what was expected",
        low=max(0.0, min(low, *(dot.y for dot in dots)) - 15),
        percent=True,
    )


def _told(shown: Shown, place: int, dot: Told) -> Dot:
    said = batch_name(shown.floor, dot.lot) if dot.told else ""
    return Dot(
        lot_key(shown.main, dot.lot),
        float(place),
        100 * dot.minutes / dot.expected,
        text=said,
        outlined=bool(dot.signals) and not dot.told,
    )
