"""What would change the plan, a sentence for each change."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.asked import Asked
from shopclock.screens.paged.offers import calling, offer, on_answer
from shopclock.screens.paged.page import Body, Page
from shopclock.shop.errors import Refusal
from shopclock.shop.plan_order import in_order
from shopclock.shop.values import Pattern
from shopclock.shop.wording import counted, word
from shopclock.widgets.dialogs import COUNT, Choice

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.what_if import WhatIf
    from shopclock.screens.paged.page import Offer
    from shopclock.screens.plan.presenter import PlanPresenter

SIZES = (5, 8)
MOST = 60


class WhatIfPage(Page):
    """More hours, larger tools, work sent out; and a new batch of one size or another."""

    body = Body.TEXT

    def __init__(self, stack: PlanPresenter) -> None:
        self._stack = stack
        self._told: Asked[WhatIf] = Asked(stack.work, stack.changed)
        self._sizes = SIZES
        batches, patterns = in_order(stack.floor), self._patterns()
        self._pattern_id = batches[-1].pattern_id if batches else patterns[0].id if patterns else 0

    def _patterns(self) -> list[Pattern]:
        return [pattern for pattern in self._stack.floor.all(Pattern) if not pattern.put_away]

    def gone(self) -> bool:
        """Whether an Undo took its pattern away."""
        return self._stack.floor.find(Pattern, self._pattern_id) is None

    def title(self) -> str:
        """By when it is done as things are."""
        from shopclock.analysis.what_if import what_if

        record = self._stack.record
        question = (self._pattern_id, self._sizes)
        task = partial(what_if, str(record.path), record.instant(), *question)
        self._told.ask((question, record.next_undo), task)
        told = self._told.answer
        return told.whole if told is not None else self._told.why or "Working it out …"

    def text(self) -> str:
        """The changes, then the sizes."""
        told = self._told.answer
        if told is None:
            return ""
        changes = [f"- {line}." for line in told.changes] or ["- Nothing to try: every day has hours."]
        sizes = [f"- {line}." for line in told.sizes]
        new = word(self._stack.floor, "batch").one
        return "\n".join([*changes, "", f"**A new {new}, after what is open**", "", *sizes])

    def actions(self) -> Sequence[Offer]:
        """Another pattern, other sizes."""
        floor = self._stack.floor
        return [
            offer("pattern", floor.get(Pattern, self._pattern_id).name, calling(self._ask_pattern), role="raised"),
            *(self._size(which, pieces) for which, pieces in enumerate(self._sizes)),
        ]

    def _size(self, which: int, pieces: int) -> Offer:
        act = calling(partial(self._ask_size, which))
        return offer(f"size {which}", counted(self._stack.floor, "piece", pieces), act, role="raised")

    def _ask_pattern(self) -> None:
        choices = [Choice(str(p.id), p.name, checked=p.id == self._pattern_id) for p in self._patterns()]
        self._stack.dialogs.ask("Which pattern", choices, on_answer(self._set_pattern))

    def _set_pattern(self, key: str) -> None:
        self._pattern_id = int(key)
        self._stack.changed()

    def _ask_size(self, which: int) -> None:
        self._stack.dialogs.number(
            "How many to start", str(self._sizes[which]), on_answer(partial(self._set, which)), signs=COUNT
        )

    def _set(self, which: int, typed: str) -> None:
        if not (typed.isdecimal() and 1 <= int(typed) <= MOST):
            raise Refusal(f"{typed} is no number from 1 to {MOST}. Nothing was changed.")
        first, second = self._sizes
        self._sizes = (int(typed), second) if which == 0 else (first, int(typed))
        self._stack.changed()
