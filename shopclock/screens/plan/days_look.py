"""From a plan's days to the lines that are drawn."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from shopclock.shop.review.sentences import LANES
from shopclock.shop.state.wording import day_text, length_text
from shopclock.views.bars_picture import LineRow, LineSpan, LinesPicture

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.plan.plan_told import PlannedDay


def lines_of(days: Sequence[PlannedDay]) -> LinesPicture:
    """The days to come, between the hours that are worked, with what runs."""
    first, last = _hours_worked(days)
    step = 1 if last - first <= 12 else 2
    ticks = tuple(((hour - first) / (last - first), f"{hour}:00") for hour in range(first, last + 1, step))
    kinds = {LANES[span.kind] for day in days for span in day.spans}
    legend = tuple((kind, kind) for kind in LANES.values() if kind in kinds)
    rows = tuple(LineRow(day_text(d.day), _spans(d, first, last), length_text(d.worked_us)) for d in days)
    return LinesPicture(legend, ticks, rows, named=True)


def _hours_worked(days: Sequence[PlannedDay]) -> tuple[int, int]:
    """The whole hours of the clock between which somebody is needed: a wait goes on beyond them."""
    needed = [span for day in days for span in day.spans if span.kind.attended]
    first = min((int(span.from_h) for span in needed), default=0)
    return first, max(first + 1, max((ceil(span.to_h) for span in needed), default=24))


def _spans(day: PlannedDay, first: int, last: int) -> tuple[LineSpan, ...]:
    found = []
    for span in day.spans:
        start, end = ((min(max(h, first), last) - first) / (last - first) for h in (span.from_h, span.to_h))
        if end > start:
            found.append(LineSpan(start, end, LANES[span.kind], f"{span.batch} {span.step}", span.step))
    return tuple(found)
