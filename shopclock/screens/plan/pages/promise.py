"""So many by a day, at what price? Two numbers, and the answer in one sentence."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan.days import ask_day
from shopclock.screens.plan.pages.money import CostsPage
from shopclock.screens.plan.pages.order import take
from shopclock.screens.plan.pages.wanted import NO_PATTERN, WantedPage
from shopclock.shop.state.wording import counted, day_text, shop_time, zone_of
from shopclock.shop.values.entities import Pattern
from shopclock.views.page import TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from shopclock.analysis.plan.promise import Answer
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.page import Action


class PromisePage(WantedPage):
    """The question by presses, and its answer."""

    def __init__(self, stack: Planning) -> None:
        self._found: AsyncAnswer[Answer] = AsyncAnswer(stack.work, stack.changed)
        super().__init__(stack, 2, self._found)
        self._day: date | None = None

    def title(self) -> str:
        """The answer as to the date; the question until there is one."""
        if self._pattern_id is None:
            return NO_PATTERN
        self._ask(self._pattern_id)
        if self._found.why:
            return self._found.why
        answer = self._found.answer
        if answer is None:
            return "Working it out …"
        return f"Roughly: {answer.date}" if self._found.rough else answer.date

    def lines(self) -> Sequence[TextLine]:
        """The price, the work, and what both rest on."""
        answer = self._found.answer
        if answer is None:
            return ()
        money = (answer.price, answer.asked)
        notes = (f"{answer.work} {self._past.answer or ''}".strip(), *answer.notes)
        return (*(TextLine(said, "text") for said in money if said), *map(TextLine, notes))

    def offers(self) -> Sequence[Action]:
        """The three parts of the question, and the price that is its answer."""
        floor = self._stack.floor
        pattern = floor.find(Pattern, self._pattern_id or 0)
        day = day_text(self._day) if self._day is not None else "any day"
        return [
            action("pattern", pattern.name if pattern else "–", calling(self._ask_pattern), detail="which pattern"),
            action("wanted", counted(floor, "finished", self._wanted), calling(self._ask_wanted), detail="how many"),
            action("day", day, calling(self._ask_when), detail="by which day"),
            *self._pays(),
        ]

    def _pays(self) -> Sequence[Action]:
        """The price that pays, with the way to what it is made of."""
        pays = self._found.answer.pays if self._found.answer is not None else ""
        act = calling(lambda: self._stack.open(CostsPage(self._stack)))
        return [action("costs", pays, act, detail="each pays 8 times in 10", role="raised")] if pays else []

    def actions(self) -> Sequence[Action]:
        """Take it as an order."""
        return [action("take", "Take the order", calling(self._take), role="primary", enabled=self._day is not None)]

    def _ask(self, pattern_id: int) -> None:
        """Have it worked out, once for each question and each state of the record: roughly first.

        How past forecasts held is the same for every question, and asked once the answer is there.
        """
        from shopclock.analysis.forecast.forecast import QUICK_DRAWS
        from shopclock.analysis.plan.promise import can_be_promised, forecasts_held

        record, path = self._stack.record, str(self._stack.record.path)
        asked = (pattern_id, self._wanted, self._day)
        task = partial(can_be_promised, path, *asked, record.instant(), self._stack.manner)
        self._found.ask((asked, record.next_undo), partial(task, draws=QUICK_DRAWS), task)
        if self._found.answer is not None and not self._found.rough:
            self._past.ask(record.next_undo, partial(forecasts_held, path, record.instant()))

    def _ask_when(self) -> None:
        today = shop_time(self._stack.record.instant(), zone_of(self._stack.floor)).date()
        ask_day(self._stack.dialogs, "By which day", today, self._set_day)

    def _set_day(self, day: date) -> None:
        self._day = day
        self._another()

    def _take(self) -> None:
        pattern = self._stack.floor.find(Pattern, self._pattern_id or 0)
        if pattern is not None:
            take(self._stack, pattern, self._wanted, self._day)
