"""Earnings of an hour, batch after batch of each pattern."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.money.cost import NO_ADVICE
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.shop.state.wording import counted
from shopclock.views.bars_picture import BarRow, BarsPicture, Fill
from shopclock.views.page import Body, ChartView, Page, PageContent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.money.earnings import BatchEarned, EarnedTold
    from shopclock.screens.plan.planning import Planning

FILLS = (Fill("dye"), Fill("bronze", "lines"), Fill("purple", "cross"), Fill("quiet", "dots"))
"""The patterns in turn."""
LAST = 3
"""So many last batches of a pattern tell how it does now."""


class EarnedPage(Page):
    """A bar for each closed batch that has a price."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack
        self._told: AsyncAnswer[EarnedTold] = AsyncAnswer(stack.work, stack.changed)

    def content(self) -> PageContent:
        """Pattern that earns most an hour now, what is left out, and the batches."""
        from shopclock.analysis.money.earnings import all_earned

        record = self._stack.record
        task = partial(all_earned, str(record.path), record.instant(), self._stack.manner)
        self._told.ask(record.next_undo, task)
        told = self._told.answer
        if told is None:
            return PageContent(self._told.why or "Working it out …", [NO_ADVICE], body=Body.CHART)
        left = (
            f"Left out: {counted(self._stack.floor, 'batch', told.untold)} without a price, or not timed throughout. "
        )
        lines = [f"{left if told.untold else ''}{NO_ADVICE}"]
        if not told.batches:
            title = "Nothing earned can be told yet: a price is asked under Costs"
            return PageContent(title, lines, body=Body.CHART)
        return PageContent(best(told), lines, body=Body.CHART, chart=ChartView(picture(told.batches)))


def by_earned(batches: Sequence[BatchEarned]) -> dict[str, list[BatchEarned]]:
    """Return the batches of each pattern, the newest first; the pattern whose last ones earned most comes first."""
    found: dict[str, list[BatchEarned]] = {}
    for one in reversed(batches):
        found.setdefault(one.pattern, []).append(one)

    def lately(pattern: str) -> float:
        last = found[pattern][:LAST]
        return sum(one.hour for one in last) / len(last)

    return {pattern: found[pattern] for pattern in sorted(found, key=lately, reverse=True)}


def best(told: EarnedTold) -> str:
    """Name the pattern whose last batches earned most."""
    patterns = list(by_earned(told.batches))
    best = patterns[0]
    if len(patterns) == 1:
        return f"{best}: {told.batches[-1].text} an hour in its last batch"
    return f"{best} earns most an hour, by the last {LAST} of each pattern"


def picture(batches: Sequence[BatchEarned]) -> BarsPicture:
    """The bars, filled by pattern, what the sentence names first; an hour that cost money has a number and no bar."""
    sorted_by = by_earned(batches)
    patterns = list(sorted_by)
    fills = {pattern: FILLS[i % len(FILLS)] for i, pattern in enumerate(patterns)}
    shown = (one for pattern in patterns for one in sorted_by[pattern])
    rows = tuple(BarRow(one.name, ((fills[one.pattern], max(0.0, one.hour)),), one.text) for one in shown)
    return BarsPicture("Earned an hour", tuple((fills[pattern], pattern) for pattern in patterns), rows)
