"""One batch: the answer in a sentence, its stages as bars, its days beside them."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.pages.batch import last_day
from shopclock.screens.batches.pages.closing import UNTIMED
from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.described import DescribedPage, PageAbout
from shopclock.screens.review.pages.beside import every_batch_page, same_pattern_page
from shopclock.screens.review.pages.days import days_page
from shopclock.screens.review.pages.notes import notes_page
from shopclock.screens.review.pages.pieces import pieces_page
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.figures.untimed import older, say, untimed
from shopclock.shop.review.review import days
from shopclock.shop.review.sentences import answer, makers_text, more, untimed_text
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import RULES, Batch
from shopclock.shop.values.kinds import StepState
from shopclock.shop.work.noting import notes_of
from shopclock.views.dialogs import Choice
from shopclock.views.field import Pick, choose, field
from shopclock.views.page import Body, ChartView, Page, PageContent, item, nothing_yet
from shopclock.views.review_pictures import bars, hours

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.screens.review.reviewing import Reviewing
    from shopclock.shop.figures.untimed import Untimed
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

UNTIMED_SAID = {StepState.NOT_TIMED: "Not timed", StepState.SKIPPED: "Skipped"}
OUT = (
    Choice("batch", "A spreadsheet", "of this alone"),
    Choice("sheet", "A spreadsheet", "of the whole shop"),
    Choice("picture", "This chart", "saved or copied, with its figures"),
    Choice("paper", "On paper", "one page or two, printed or as a PDF"),
)


class ReviewPage(Page):
    """The first page: the batch that the presenter says."""

    def __init__(self, stack: Reviewing) -> None:
        self._stack = stack
        self._by_size = False

    def content(self) -> PageContent:
        """Minutes of the batch: a sentence, what was unusual, bars by stage and hours by day."""
        stack, floor, name = self._stack, self._stack.floor, word(self._stack.floor, "batch").one
        batch_id = stack.batch_id()
        if batch_id is None:
            return nothing_yet(
                f"No {name} yet",
                "Where the minutes of each one went is shown here, from its first stretch of work on.",
                item("batches", "To Batches", lambda: stack.go("batches")),
            )
        found = reviewed(stack, batch_id)
        batch, title, earned = floor.get(Batch, batch_id), answer(floor, found.figures), stack.earned(batch_id)
        whose = makers_text(floor, batch_id, stack.record.instant())
        lines = [f"{batch_title(floor, batch)}: {more(floor, found)}", *(line for line in (whose, earned) if line)]
        open_question = untimed(floor, batch_id, stack.record.instant()) if batch.closed_us is not None else ()
        chart: ChartView | None = None
        out: Callable[[], object] = stack.to_spreadsheet
        if found.stages:
            side = hours(days(floor, batch_id, stack.record.instant()))
            chart = ChartView(bars(floor, found, by_size=self._by_size), side)
            out = partial(self._put_out, batch, f"{title} {' '.join(lines)}")
        return PageContent(
            title,
            lines,
            actions=[
                *self._untimed(batch, open_question),
                item("sort", "By route" if self._by_size else "By size", self._sort),
                item("amend", "Amend times", partial(last_day, stack, batch)),
                item("days", "The days", partial(PageAbout, stack, batch, days_page)),
                *self._notes(batch),
                item("pieces", "The pieces", partial(PageAbout, stack, batch, pieces_page)),
                item("beside", "Beside another", partial(PageAbout, stack, batch, same_pattern_page)),
                item("another", f"Another {name}", partial(DescribedPage, stack, every_batch_page)),
                item("out", "Print or save", out),
            ],
            body=Body.CHART,
            chart=chart,
        )

    def _notes(self, batch: Batch) -> list[Action]:
        """The way to what was noted, where something was."""
        n = len(notes_of(self._stack.floor, batch.id, self._stack.record.instant()))
        return [item("notes", "Notes", partial(PageAbout, self._stack, batch, notes_page), str(n))] if n else []

    def _untimed(self, batch: Batch, found: Sequence[Untimed]) -> list[Action]:
        """The question what steps without minutes were, as long as it is open; one answer for all of them."""
        if not found:
            return []
        answers: list[tuple[Choice, tuple[StepState, tuple[Batch, ...]]]] = [
            (choice, (state, (batch,))) for choice, state in UNTIMED if state is not None
        ]
        before = older(self._stack.floor)
        if len(before) > 1 and batch.rules < RULES:
            name = counted(self._stack.floor, "batch", len(before))
            answers += [
                (Choice(f"all {state}", f"{said} in all {name}", "closed before it was asked"), (state, before))
                for state, said in UNTIMED_SAID.items()
            ]
        asking = choose(f"{untimed_text(found)} in {batch.name}: not timed, or skipped", answers)

        def take(answer: tuple[StepState, tuple[Batch, ...]]) -> None:
            state, batches = answer
            for one in batches:
                self._stack.record.load_batch(one.id)
            what = batch.name if len(batches) == 1 else counted(self._stack.floor, "batch", len(batches))
            self._stack.do(f"{UNTIMED_SAID[state]}: {what}", lambda tx: [say(tx, one, state) for one in batches])

        return [field("untimed", "No minutes", untimed_text(found), asking, take, role="straw")]

    def _put_out(self, batch: Batch, heading: str) -> Asking[None]:
        """Ask what is printed or saved; `heading` stands above a saved chart."""
        from shopclock.exchange.paper.review_facts import review_facts
        from shopclock.exchange.paper.review_sheet import review_pages

        what, stack = (yield from Pick("Print or save what?", OUT)), self._stack
        if what == "batch":
            stack.to_spreadsheet(batch.id)
        elif what == "sheet":
            stack.to_spreadsheet()
        elif what == "paper":
            sheet = review_facts(stack.record, batch.id, stack.record.instant())
            stack.paper.put(f"Review {batch.name}", lambda size: review_pages(sheet, size))
        elif ways := stack.ways_out():
            stack.save_picture(batch, heading, (yield from Pick("Save or copy what?", tuple(ways))))

    def _sort(self) -> None:
        self._by_size = not self._by_size
