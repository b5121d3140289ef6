"""A day: what was done on it, as a line and as a list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.record.read.history import OfBatch, OfTime
from shopclock.screens.amend.amending import Amending, full_name, long_text, span_text
from shopclock.screens.amend.certainty import sure_text
from shopclock.screens.amend.day_look import day_look
from shopclock.screens.amend.pages.adding import ask_what
from shopclock.screens.amend.pages.history import About, HistoryPage
from shopclock.screens.amend.pages.interval import IntervalPage
from shopclock.shop.review.change_text import KIND_WORDS, WORK_WORDS
from shopclock.shop.state.wording import day_text, length_text
from shopclock.shop.values.entities import Batch, Method
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.day import day_of, day_span, stretches_of, worked_on
from shopclock.views.page import Body, Page, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Interval
    from shopclock.views.page import Action, DayView


class DayPage(Page):
    """One day; the buttons at the bottom go to the day before and after on which something was begun."""

    body = Body.DAY

    def __init__(self, stack: PagedPresenter, at_us: int | None = None, batch_id: int | None = None) -> None:
        """Open on the day of an instant, or on the last one with work; a batch's history is offered as well."""
        self._batch_id = batch_id
        self._amending = Amending(stack)
        found = at_us if at_us is not None else stack.record.reads.worked_before(self._amending.now_us + 1)
        self._show(day_of(found if found is not None else self._amending.now_us, self._amending.zone))

    @property
    def day(self) -> date:
        """The day in sight."""
        return self._day

    def title(self) -> str:
        """Which day."""
        now = day_of(self._amending.now_us, self._amending.zone)
        year = f" {self._day:%Y}" if self._day.year != now.year else ""
        return f"{day_text(self._day)}{year}{', today' if self._day == now else ''}"

    def lines(self) -> Sequence[TextLine]:
        """How long somebody was at work."""
        if not self._stretches():
            return (TextLine("Nothing was timed on this day."),)
        worked_us = worked_on(self._amending.floor, self._us, self._amending.now_us)
        return (TextLine(f"{length_text(worked_us)} at work. Press what is to be put right.", "text"),)

    def day_line(self) -> DayView | None:
        """The stretches along the hours."""
        amending = self._amending
        return day_look(amending.floor, self._stretches(), self._us, amending.now_us, amending.zone)

    def offers(self) -> Sequence[Action]:
        """The stretches, as they followed each other."""
        return [self._row(interval) for interval in self._stretches()]

    def actions(self) -> Sequence[Action]:
        """Another day, something nobody timed, what was changed."""
        reads = self._amending.stack.record.reads
        before, after = reads.worked_before(self._us[0]), reads.worked_after(self._us[1])
        return [
            action("earlier", "Day before", calling(lambda: self._go(before)), enabled=before is not None),
            action("later", "Day after", calling(lambda: self._go(after)), enabled=after is not None),
            action("add", "Add", calling(lambda: ask_what(self._amending, self._day)), role="primary"),
            action("history", "History", calling(self._history)),
        ]

    def _show(self, day: date) -> None:
        self._day = day
        self._us = day_span(day, self._amending.zone)
        self._amending.bring(self._us[0])

    def _go(self, at_us: int | None) -> None:
        if at_us is not None:
            self._show(day_of(at_us, self._amending.zone))
            self._amending.stack.changed()

    def _history(self) -> None:
        stack = self._amending.stack
        about = About(f"What was changed of {day_text(self._day)}", OfTime(*self._us))
        batch = stack.floor.find(Batch, self._batch_id) if self._batch_id is not None else None
        other = About(f"What was changed of {batch.name}", OfBatch(batch.id), f"All of {batch.name}") if batch else None
        stack.open(HistoryPage(stack, about, other))

    def _stretches(self) -> tuple[Interval, ...]:
        return stretches_of(self._amending.floor, self._day)

    def _row(self, interval: Interval) -> Action:
        amending = self._amending
        return action(
            f"stretch {interval.id}",
            f"{span_text(amending, interval)}   {full_name(amending.floor, interval)}",
            calling(lambda: amending.stack.open(IntervalPage(amending, interval.id))),
            detail=self._detail(interval),
            note=sure_text(interval),
            figure=long_text(interval, amending.now_us),
            role="plate" if interval.kind.attended else "raised",
        )

    def _detail(self, interval: Interval) -> str:
        floor = self._amending.floor
        method = floor.find(Method, interval.method_id) if interval.method_id is not None else None
        parts = [
            spoken(floor.marks(interval.pieces)) if interval.pieces else "",
            method.name if method is not None else "",
            "" if interval.work is WorkKind.RUN else WORK_WORDS[interval.work],
            KIND_WORDS[interval.kind],
        ]
        return " · ".join(part for part in parts if part)
