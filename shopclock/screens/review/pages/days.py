"""The days of a batch as time lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.review.review import days
from shopclock.shop.review.sentences import days_text, hands_on_text
from shopclock.shop.state.wording import length_text
from shopclock.views.page import Body, ChartView, PageContent
from shopclock.views.review_pictures import time_lines

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Batch


def days_page(stack: PagedPresenter, batch: Batch) -> PageContent:
    """By hand, stay by it, waits and away, day by day; the share of the hands."""
    floor, found = stack.floor, reviewed(stack, batch.id)
    long, worked = days_text(floor, found), days(floor, batch.id, stack.record.instant())
    said = (batch_title(floor, batch), hands_on_text(found))
    return PageContent(
        f"{length_text(found.figures.whole.all_us)} of work, {long}" if long else "No work is timed yet",
        [": ".join(part for part in said if part) + "."],
        body=Body.CHART,
        chart=ChartView(time_lines(floor, worked)) if worked else None,
    )
