"""One batch: the answer in a sentence, its stages as bars, its days beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.amend.pages.day import DayPage
from shopclock.screens.batches.where import batch_title
from shopclock.screens.review.bars_look import bars, hours
from shopclock.screens.review.pages.beside import SamePattern
from shopclock.screens.review.pages.choosing import EveryBatch
from shopclock.screens.review.pages.days import DaysPage
from shopclock.screens.review.pages.pieces import PiecesPage
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.review.review import days
from shopclock.shop.review.sentences import answer, more
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Batch, Interval
from shopclock.views.dialogs import Choice
from shopclock.views.page import Body, ChartView, Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.review.reviewing import Reviewing
    from shopclock.views.page import Action

OUT = (
    Choice("sheet", "A spreadsheet", "the whole shop"),
    Choice("picture", "This chart", "as a picture and as a drawing"),
    Choice("paper", "On paper", "one page or two, printed or as a PDF"),
)


class ReviewPage(Page):
    """The first page: the batch that the presenter says."""

    body = Body.CHART

    def __init__(self, stack: Reviewing) -> None:
        self._stack = stack
        self._by_size = False

    def title(self) -> str:
        """Where the minutes went."""
        batch_id = self._stack.batch_id()
        if batch_id is None:
            return f"No {word(self._stack.floor, 'batch').one} yet"
        return answer(self._stack.floor, reviewed(self._stack, batch_id).figures)

    def lines(self) -> Sequence[TextLine]:
        """Which batch, what was unusual, counts and days."""
        floor, batch_id = self._stack.floor, self._stack.batch_id()
        if batch_id is None:
            return (TextLine("Where the minutes of each one went is shown here, from its first stretch of work on."),)
        found = reviewed(self._stack, batch_id)
        about = TextLine(f"{batch_title(floor, found.figures.batch)}: {more(floor, found)}")
        earned = self._stack.earned(batch_id)
        return (about, TextLine(earned)) if earned else (about,)

    def chart(self) -> ChartView | None:
        """Bars by stage, and hours by day."""
        floor, batch_id = self._stack.floor, self._stack.batch_id()
        if batch_id is None:
            return None
        found = reviewed(self._stack, batch_id)
        if not found.stages:
            return None
        side = hours(days(floor, batch_id, self._stack.record.instant()))
        return ChartView(bars(floor, found, by_size=self._by_size), side)

    def actions(self) -> Sequence[Action]:
        """Order of the bars, times, days, pieces, other batches, paper and sheet."""
        batch_id, stack = self._stack.batch_id(), self._stack
        if batch_id is None:
            return (action("batches", "To Batches", calling(lambda: stack.go("batches")), role="primary"),)
        name = word(stack.floor, "batch").one
        return (
            action("sort", "By route" if self._by_size else "By size", calling(self._sort)),
            action("amend", "Amend times", calling(lambda: self._amend(batch_id))),
            action("days", "The days", calling(lambda: stack.open(DaysPage(stack, batch_id)))),
            action("pieces", "The pieces", calling(lambda: stack.open(PiecesPage(stack, batch_id)))),
            action("beside", "Beside another", calling(lambda: stack.open(SamePattern(stack, batch_id)))),
            action("another", f"Another {name}", calling(lambda: stack.open(EveryBatch(stack)))),
            action("out", "Print or save", calling(self._ask_how)),
        )

    def _amend(self, batch_id: int) -> None:
        """Open the last day on which the batch was worked on."""
        starts = [interval.start_us for interval in self._stack.floor.of_batch(Interval, batch_id)]
        self._stack.open(DayPage(self._stack, max(starts, default=None), batch_id))

    def _ask_how(self) -> None:
        if self.chart() is None:
            self._stack.to_spreadsheet()
            return
        self._stack.dialogs.ask("Print or save what?", OUT, on_answer(self._put_out))

    def _put_out(self, what: str) -> None:
        batch_id = self._stack.batch_id()
        if what == "sheet" or batch_id is None:
            self._stack.to_spreadsheet()
        elif what == "paper":
            self._on_paper(batch_id)
        else:
            self._stack.save_picture(self._stack.floor.get(Batch, batch_id), self._heading())

    def _on_paper(self, batch_id: int) -> None:
        from shopclock.exchange.paper.review_facts import review_facts
        from shopclock.exchange.paper.review_sheet import review_pages

        record = self._stack.record
        sheet = review_facts(record, batch_id, record.instant())
        name = f"Review {self._stack.floor.get(Batch, batch_id).name}"
        self._stack.paper.put(name, lambda size: review_pages(sheet, size))

    def _heading(self) -> str:
        """What stands above a saved chart."""
        return f"{self.title()} {' '.join(line.text for line in self.lines())}"

    def _sort(self) -> None:
        self._by_size = not self._by_size
