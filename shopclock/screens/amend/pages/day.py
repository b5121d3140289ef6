"""A day: what was done on it, as a line and as a list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.record.read.history import OfBatch, OfTime
from shopclock.screens.amend.amending import Amending, long_text, sure_text
from shopclock.screens.amend.asking import newest_batches
from shopclock.screens.amend.day_look import day_look
from shopclock.screens.amend.pages.history import About, history_page
from shopclock.screens.amend.pages.interval import interval_page
from shopclock.screens.paged.described import DescribedPage
from shopclock.shop.review.change_text import KIND_WORDS, WORK_WORDS
from shopclock.shop.state.wording import day_text, length_text, word
from shopclock.shop.values.entities import Batch, Interval, Method, Stage, Step
from shopclock.shop.values.kinds import WorkKind
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.amend import add, add_shop_work
from shopclock.shop.work.day import day_of, day_span, first_after, instant_on, stretches_of, worked_on
from shopclock.shop.work.piece_progress import order_of
from shopclock.views.dialogs import CLOCK, Choice
from shopclock.views.field import Number, choose
from shopclock.views.page import Body, Page, PageContent, TextLine, item

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.transaction import Transaction
    from shopclock.views.field import Asking
    from shopclock.views.page import Action


class DayPage(Page):
    """One day; the buttons at the bottom go to the day before and after on which something was begun."""

    def __init__(self, stack: PagedPresenter, at_us: int | None = None, batch_id: int | None = None) -> None:
        """Open on the day of an instant, or on the last one with work; a batch's history is offered as well."""
        self._batch_id = batch_id
        self._amending = Amending(stack)
        found = at_us if at_us is not None else stack.record.reads.worked_before(self._amending.now_us + 1)
        self._show(day_of(found if found is not None else self._amending.now_us, self._amending.zone))

    def content(self) -> PageContent:
        """Time at work, and the intervals: along the hours, and as they followed each other."""
        amending, reads = self._amending, self._amending.stack.record.reads
        floor, now_us, zone = amending.floor, amending.now_us, amending.zone
        now, found = day_of(now_us, zone), stretches_of(floor, self._day)
        year = f" {self._day:%Y}" if self._day.year != now.year else ""
        line = TextLine("Nothing was timed on this day.")
        if found:
            worked = length_text(worked_on(floor, self._us, now_us))
            line = TextLine(f"{worked} at work. Press what is to be put right.", "text")
        before, after = reads.worked_before(self._us[0]), reads.worked_after(self._us[1])
        return PageContent(
            f"{day_text(self._day)}{year}{', today' if self._day == now else ''}",
            [line],
            [_stretch(amending, interval) for interval in found],
            [
                item(
                    "earlier",
                    "Day before",
                    lambda: self._go(before),
                    why_not="" if before is not None else "Nothing was timed before this day.",
                ),
                item(
                    "later",
                    "Day after",
                    lambda: self._go(after),
                    why_not="" if after is not None else "Nothing was timed after this day.",
                ),
                item("add", "Add", lambda: add_work(amending, self._day), role="primary"),
                item("history", "History", self._history),
            ],
            Body.DAY,
            day=day_look(floor, found, self._us, now_us, zone),
        )

    def _show(self, day: date) -> None:
        self._day = day
        self._us = day_span(day, self._amending.zone)
        self._amending.bring(self._us[0])

    def _go(self, at_us: int | None) -> None:
        if at_us is not None:
            self._show(day_of(at_us, self._amending.zone))
            self._amending.stack.changed()

    def _history(self) -> Page:
        stack = self._amending.stack
        about = About(f"What was changed of {day_text(self._day)}", OfTime(*self._us))
        batch = stack.floor.find(Batch, self._batch_id) if self._batch_id is not None else None
        other = About(f"What was changed of {batch.name}", OfBatch(batch.id), f"All of {batch.name}") if batch else None
        return DescribedPage(stack, lambda stack: history_page(stack, about, other))


def _stretch(amending: Amending, interval: Interval) -> Action:
    floor = amending.floor
    method = floor.find(Method, interval.method_id) if interval.method_id is not None else None
    parts = [
        spoken(floor.marks(interval.pieces)) if interval.pieces else "",
        method.name if method is not None else "",
        "" if interval.work is WorkKind.RUN else WORK_WORDS[interval.work],
        KIND_WORDS[interval.kind],
    ]
    return item(
        f"stretch {interval.id}",
        amending.titled(interval),
        lambda: amending.about(interval, interval_page),
        " · ".join(part for part in parts if part),
        note=sure_text(interval),
        figure=long_text(interval, amending.now_us),
        role="plate" if interval.kind.attended else "raised",
    )


def add_work(amending: Amending, day: date) -> Asking[object]:
    """Add what nobody timed: of which batch (shop work is of none), which step, from when till when."""
    floor, one = amending.floor, word(amending.floor, "batch").one
    answers: list[tuple[Choice, Batch | None]] = [*newest_batches(floor)]
    answers.append((Choice("shop", "Shop work", f"of no {one}"), None))
    batch = yield from choose(f"Work on which {one} is to be added", answers)
    if batch is None:
        steps: Sequence[Step | Stage] = [s for s in floor.all(Stage) if s.shop_work and not s.put_away]
    else:
        amending.stack.record.load_batch(batch.id)
        steps = order_of(floor, batch.id).timed
    done = yield from choose("What was done", [(Choice(str(step.id), step.name), step) for step in steps])
    start_us = instant_on(day, (yield from Number(f"{done.name} from", signs=CLOCK)), amending.zone)
    till = yield from Number(f"{done.name} from {amending.time(start_us)} till", signs=CLOCK)
    end_us = first_after(start_us, till, amending.zone)

    def rule(tx: Transaction) -> Interval:
        return add_shop_work(tx, done, start_us, end_us) if isinstance(done, Stage) else add(tx, done, start_us, end_us)

    made = amending.press(f"Added {done.name}", rule, since_us=start_us)
    return amending.about(made, interval_page) if made is not None else None
