"""The days of a batch as time lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.about import BatchAbout
from shopclock.screens.review.bars_look import time_lines
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.review.review import days
from shopclock.shop.review.sentences import days_text, hands_on_text
from shopclock.shop.state.wording import length_text
from shopclock.views.page import Body, ChartView, TextLine

if TYPE_CHECKING:
    from collections.abc import Sequence


class DaysPage(BatchAbout):
    """By hand, stay by it, waits and away, day by day."""

    body = Body.CHART

    def title(self) -> str:
        """Hours and days."""
        floor, found = self._stack.floor, reviewed(self._stack, self._batch_id)
        long = days_text(floor, found)
        return f"{length_text(found.figures.whole.all_us)} of work, {long}" if long else "No work is timed yet"

    def lines(self) -> Sequence[TextLine]:
        """Which batch, and the share of the hands."""
        floor, found = self._stack.floor, reviewed(self._stack, self._batch_id)
        said = (batch_title(floor, found.figures.batch), hands_on_text(found))
        return (TextLine(": ".join(part for part in said if part) + "."),)

    def chart(self) -> ChartView | None:
        """The time lines."""
        reviewed(self._stack, self._batch_id)
        floor = self._stack.floor
        found = days(floor, self._batch_id, self._stack.record.instant())
        return ChartView(time_lines(floor, found)) if found else None
