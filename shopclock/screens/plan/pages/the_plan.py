"""Dates of the open batches, what holds them up, and which promises no longer hold."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import QUICK_DRAWS
from shopclock.analysis.plan.plan_told import FAR
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.plan.pages.what_if import WhatIfPage
from shopclock.screens.plan.rules import batch_rule, plan_scale
from shopclock.shop.planning import plan_order
from shopclock.shop.review.sentences import LANES
from shopclock.shop.state.wording import day_text, length_text
from shopclock.shop.values.entities import Pattern
from shopclock.views.bars_picture import LineRow, LineSpan, day_lines
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick
from shopclock.views.page import Body, ChartView, Page, PageContent, TextLine, item, nothing_yet

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from shopclock.analysis.plan.plan_told import BatchDone, PlannedSpan, PlanTold
    from shopclock.screens.plan.planning import Planning
    from shopclock.shop.values.entities import Batch
    from shopclock.views.field import Asking
    from shopclock.views.page import Action
    from shopclock.views.rule_picture import RulePicture

NONE_OPEN = "No batch is open, so there is nothing to plan"


class PlanPage(Page):
    """The open batches in the order of work; a press on one moves it."""

    def __init__(self, stack: Planning) -> None:
        self._stack = stack
        self._told: AsyncAnswer[PlanTold] = AsyncAnswer(stack.work, stack.changed)

    def content(self) -> PageContent:
        """Date of all of it, what no longer holds, and the batches, each with its days."""
        stack, told = self._stack, self._answer()
        calendar = item("calendar", "Calendar", stack.to_calendar, role="raised")
        if not stack.floor.open_batches():
            way = item("batches", "To Batches", lambda: stack.go("batches"))
            how_far = "Each open one stands here, with the day by which it is done."
            return nothing_yet(NONE_OPEN, how_far, way, [calendar])
        done = {one.batch_id: one for one in told.batches} if told is not None else {}
        batches, lines = plan_order.in_order(stack.floor), list[TextLine]()
        if told is not None:
            lines = [TextLine(f"No longer holds: {'; '.join(told.late)}.", "red")] if told.late else []
            lines += [TextLine(note) for note in (told.held_up, *told.notes) if note]
        scale = plan_scale(told)
        moved = stack.floor.setting(plan_order.ORDER) is not None
        unmoved = "" if moved else "It is in the order of the promises."
        return PageContent(
            self._title(told),
            lines,
            [
                self._batch(batch, done.get(batch.id), batches, batch_rule(done.get(batch.id), told, scale))
                for batch in batches
            ],
            [
                item("days", "Day by day", lambda: DescribedPage(stack, self._days), role="primary"),
                item("what if", "What if", partial(WhatIfPage, stack), role="raised"),
                calendar,
                item("by promise", "By promise", self._by_promise, role="raised", why_not=unmoved),
            ],
            Body.RULED,
            rules=(scale,),
            room=4,
        )

    def _answer(self) -> PlanTold | None:
        """Have it worked out, once for each state of the record: roughly first."""
        from shopclock.analysis.plan.plan_told import plan_told

        if not self._stack.floor.open_batches():
            return None
        record = self._stack.record
        task = partial(plan_told, str(record.path), record.instant())
        self._told.ask(record.next_undo, partial(task, draws=QUICK_DRAWS), task)
        return self._told.answer

    def _title(self, told: PlanTold | None) -> str:
        if told is None:
            return self._told.why or "Working it out …"
        return f"Roughly: {told.whole}" if self._told.rough else told.whole

    def _batch(self, batch: Batch, done: BatchDone | None, listed: Sequence[Batch], rule: RulePicture) -> Action:
        pattern = self._stack.floor.get(Pattern, batch.pattern_id).name
        return item(
            f"batch {batch.id}",
            f"{batch.name} {pattern}",
            lambda: self._move(batch, listed),
            detail=f"{_text(done.day)} {done.note}" if done is not None else "",
            rule=rule,
        )

    def _move(self, batch: Batch, listed: Sequence[Batch]) -> Asking[None]:
        """Ask where a batch goes in the order of work, or show it."""
        earlier = [Choice("earlier", "Earlier")] if batch.id != listed[0].id else []
        later = [Choice("later", "Later")] if batch.id != listed[-1].id else []
        key = yield from Pick(batch.name, [*earlier, *later, Choice("show", "Show it")])
        if key == "show":
            self._stack.go("batches", batch.id)
        else:
            by = -1 if key == "earlier" else 1
            self._stack.do(f"{batch.name} {key}", lambda tx: plan_order.move(tx, batch, by))

    def _by_promise(self) -> None:
        self._stack.do("Work in the order of promise", plan_order.by_promise)

    def _days(self, _stack: Planning) -> PageContent:
        """The plan day by day, as it is in the middle of what was drawn."""
        told = self._answer()
        days = [
            LineRow(
                day_text(day.day),
                tuple(LineSpan(s.from_h, s.to_h, LANES[s.kind], _names(s)) for s in day.spans),
                length_text(day.worked_us),
            )
            for day in (told.days if told is not None else ())
        ]
        return PageContent(
            self._title(told)
            if told is None
            else f"{len(days)} {'day' if len(days) == 1 else 'days'} at the work, if it goes as usual",
            ["One way it can go; half of the others end sooner. Days without work are left out."],
            body=Body.CHART,
            chart=ChartView(day_lines(days, named=True)) if days else None,
        )


def _names(span: PlannedSpan) -> tuple[str, ...]:
    """Batch, step and pieces of a span; less of it where there is little room."""
    step = f"{span.batch} {span.step}"
    return (f"{step} {span.pieces}", step, span.step) if span.pieces else (step, span.step)


def _text(day: date | None) -> str:
    return day_text(day) if day is not None else FAR
