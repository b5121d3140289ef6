"""When each open batch is done, what holds them up, and which promises no longer hold."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import LIKELY, QUICK_DRAWS
from shopclock.analysis.plan.promise import times_text
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan.days import FEW
from shopclock.screens.plan.days_look import lines_of
from shopclock.screens.plan.pages.what_if import WhatIfPage
from shopclock.shop.planning import plan_order
from shopclock.shop.state.wording import day_text
from shopclock.shop.values.entities import Pattern
from shopclock.views.dialogs import Choice
from shopclock.views.page import Body, ChartView, Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from shopclock.analysis.plan.plan_told import BatchDone, PlanTold
    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.values.entities import Batch
    from shopclock.views.page import Action

NONE_OPEN = "No batch is open, so there is nothing to plan"
FAR = "too far off"


class PlanPage(Page):
    """The open batches in the order of work; a press on one moves it."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack
        self._told: AsyncAnswer[PlanTold] = AsyncAnswer(stack.work, stack.changed)

    def title(self) -> str:
        """When all of it is done."""
        if not self._stack.floor.open_batches():
            return NONE_OPEN
        self._ask()
        told = self._told.answer
        if told is None:
            return self._told.why or "Working it out …"
        return f"Roughly: {told.whole}" if self._told.rough else told.whole

    def _ask(self) -> None:
        from shopclock.analysis.plan.plan_told import plan_told

        record = self._stack.record
        task = partial(plan_told, str(record.path), record.instant())
        self._told.ask(record.next_undo, partial(task, draws=QUICK_DRAWS), task)

    def lines(self) -> Sequence[TextLine]:
        """What no longer holds comes first."""
        told = self._shown()
        if told is None:
            return ()
        late = [TextLine(f"No longer holds: {'; '.join(told.late)}.", "red")] if told.late else []
        notes = (told.held_up, *told.notes)
        return (*late, *(TextLine(note) for note in notes if note))

    def _shown(self) -> PlanTold | None:
        return self._told.answer if self._stack.floor.open_batches() else None

    def offers(self) -> Sequence[Action]:
        """The batches, each with its days."""
        told = self._shown()
        done = {one.batch_id: one for one in told.batches} if told is not None else {}
        batches = plan_order.in_order(self._stack.floor)
        return [self._batch(batch, done.get(batch.id), few=len(batches) <= FEW) for batch in batches]

    def _batch(self, batch: Batch, done: BatchDone | None, *, few: bool) -> Action:
        pattern = self._stack.floor.get(Pattern, batch.pattern_id).name
        day = _text(done.likely) if done is not None else ""
        return action(
            f"batch {batch.id}",
            batch.name,
            calling(lambda: self._ask_where(batch)),
            detail=pattern if few or not day else f"{pattern}, {day}",
            figure=day if few else "",
            note=_note(done) if done is not None else "",
        )

    def _ask_where(self, batch: Batch) -> None:
        """Ask where a batch goes in the order of work, or show it."""
        listed = plan_order.in_order(self._stack.floor)
        earlier = [Choice("earlier", "Earlier")] if batch.id != listed[0].id else []
        later = [Choice("later", "Later")] if batch.id != listed[-1].id else []
        choices = [*earlier, *later, Choice("show", "Show it")]
        self._stack.dialogs.ask(batch.name, choices, on_answer(partial(self._moved, batch)))

    def _moved(self, batch: Batch, key: str) -> None:
        if key == "show":
            self._stack.go("batches", batch.id)
            return
        by = -1 if key == "earlier" else 1
        self._stack.do(f"{batch.name} {key}", lambda tx: plan_order.move(tx, batch, by))

    def actions(self) -> Sequence[Action]:
        """The days, what would change it, and the order of promise again."""
        some, moved = bool(self._stack.floor.open_batches()), self._stack.floor.setting(plan_order.ORDER) is not None
        return [
            action("days", "Day by day", calling(self._days), role="primary", enabled=some),
            action("what if", "What if", calling(self._what_if), role="raised", enabled=some),
            action("calendar", "Calendar", calling(self._stack.to_calendar), role="raised"),
            action("by promise", "By promise", calling(self._by_promise), role="raised", enabled=moved),
        ]

    def _days(self) -> None:
        self._stack.open(DayByDayPage(self._stack, self))

    def _what_if(self) -> None:
        self._stack.open(WhatIfPage(self._stack))

    def _by_promise(self) -> None:
        self._stack.do("Work in the order of promise", plan_order.by_promise)

    def planned(self) -> PlanTold | None:
        """What the plan is now, also for the page of its days."""
        self.title()
        return self._shown()


def _text(day: date | None) -> str:
    return day_text(day) if day is not None else FAR


def _note(done: BatchDone) -> str:
    return f"{times_text(LIKELY)}; {_text(done.well)} if all goes well"


class DayByDayPage(Page):
    """The plan day by day, as it is in the middle of what was drawn."""

    body = Body.CHART

    def __init__(self, stack: Planning, plan: PlanPage) -> None:
        self._stack = stack
        self._plan = plan

    def title(self) -> str:
        """How many days are worked."""
        told = self._plan.planned()
        if told is None:
            return self._plan.title()
        n = len(told.days)
        return f"{n} {'day' if n == 1 else 'days'} at the work, if it goes as usual"

    def lines(self) -> Sequence[TextLine]:
        """What it is and isn't."""
        return (TextLine("One way it can go; half of the others end sooner. Days without work are left out."),)

    def chart(self) -> ChartView | None:
        """The days."""
        told = self._plan.planned()
        return ChartView(lines_of(told.days)) if told is not None and told.days else None
