"""Earnings of an hour, batch after batch of each pattern."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.money.cost import NO_ADVICE
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.shop.setup.rates import rates
from shopclock.shop.state.wording import counted
from shopclock.views.bars_picture import BarRow, BarsPicture, Fill
from shopclock.views.page import Body, ChartView, Page, PageContent, item, nothing_yet

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

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
            return nothing_yet(title, lines[0], item("costs", "Costs", self._stack.back))
        return PageContent(best(told), lines, body=Body.CHART, chart=ChartView(picture(told.batches, self._money)))

    def _money(self, amount: float) -> str:
        return self._stack.money(Decimal(repr(amount)), rates(self._stack.floor).currency)


def by_earned(batches: Sequence[BatchEarned]) -> dict[str, list[BatchEarned]]:
    """Return the batches of each pattern, the newest first; the pattern whose last ones earned most comes first."""
    found: dict[str, list[BatchEarned]] = {}
    for one in reversed(batches):
        found.setdefault(one.pattern, []).append(one)

    return {pattern: found[pattern] for pattern in sorted(found, key=lambda one: lately(found[one]), reverse=True)}


def lately(own: Sequence[BatchEarned]) -> float:
    """Return what an hour earned on average over the last batches of a pattern, the newest first."""
    last = own[:LAST]
    return sum(one.hour for one in last) / len(last)


def best(told: EarnedTold) -> str:
    """Name the pattern whose last batches earned most."""
    patterns = list(by_earned(told.batches))
    best = patterns[0]
    if len(patterns) == 1:
        return f"{best}: {told.batches[-1].text} an hour in its last batch"
    return f"{best} earns most an hour, by the last {LAST} of each pattern"


def picture(batches: Sequence[BatchEarned], money: Callable[[float], str]) -> BarsPicture:
    """The bars: every pattern by its last batches first, the one that the sentence names leading; then each batch.

    Filled by pattern; an hour that cost money has a number and no bar.
    """
    sorted_by = by_earned(batches)
    fills = {pattern: FILLS[i % len(FILLS)] for i, pattern in enumerate(sorted_by)}
    rows = []
    for pattern, own in sorted_by.items():
        hour = lately(own)
        part = ((fills[pattern], max(0.0, hour)),)
        rows.append(BarRow(f"{pattern}, last {min(LAST, len(own))}", part, money(hour), told=True))
    for pattern, own in sorted_by.items():
        rows += [BarRow(one.name, ((fills[pattern], max(0.0, one.hour)),), one.text) for one in own]
    return BarsPicture("Earned an hour", tuple((fill, pattern) for pattern, fill in fills.items()), tuple(rows))
