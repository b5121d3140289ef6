"""One batch: its pieces, and the ways to its steps and its close."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.amend.pages.day import DayPage
from shopclock.screens.batches.pages.closing import ClosePage
from shopclock.screens.batches.pages.piece import PiecePage
from shopclock.screens.batches.pages.steps import StepsPage
from shopclock.screens.batches.where import age_text, batch_title, outcome_words, route_look, stands_at
from shopclock.screens.paged.about import BatchAbout
from shopclock.shop.figures.batch_figures import figures
from shopclock.shop.state.wording import counted, length_text, minutes_text, word
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work.pieces import add_piece
from shopclock.views.page import Body, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Piece
    from shopclock.views.page import Action, RouteOutlineView


class BatchPage(BatchAbout):
    """The pieces of a batch as tiles, with where each stands or how it ended."""

    body = Body.PIECES

    def __init__(self, stack: PagedPresenter, batch_id: int) -> None:
        super().__init__(stack, batch_id)
        stack.record.load_batch(batch_id)

    def title(self) -> str:
        """Its name and pattern."""
        return batch_title(self._stack.floor, self.batch)

    def lines(self) -> Sequence[TextLine]:
        """One sentence with what it took; what was asked for the next time."""
        said = [TextLine(self._so_far() if self.batch.closed_us is None else self._came_of_it(), "text")]
        if self.batch.next_time:
            said.append(TextLine(f"Next time: {self.batch.next_time}", "straw"))
        return said

    def route(self) -> RouteOutlineView | None:
        """The outline while it is open."""
        return route_look(self._stack.floor, self.batch) if self.batch.closed_us is None else None

    def offers(self) -> Sequence[Action]:
        """The pieces; its card for the wall while it is open."""
        found = [self._piece(piece) for piece in self._stack.floor.pieces(self._batch_id)]
        card = action("card", "Card", calling(self._card), detail="for the wall", role="raised")
        return found if self.batch.closed_us is not None else [*found, card]

    def actions(self) -> Sequence[Action]:
        """To the bench, a blank more, its review, steps, times, close."""
        steps = action("steps", "Steps", calling(lambda: self._stack.open(StepsPage(self._stack, self._batch_id))))
        times = action("amend", "Amend times", calling(self._amend))
        review = action("review", "Review", calling(lambda: self._stack.go("review", self._batch_id)))
        if self.batch.closed_us is not None:
            return [review, steps, times]
        return [
            action("bench", "To the bench", calling(lambda: self._stack.go("bench", self._batch_id)), role="primary"),
            action("add", f"One more {word(self._stack.floor, 'piece').one}", self._add),
            review,
            steps,
            times,
            action("close", "Close", calling(lambda: self._stack.open(ClosePage(self._stack, self._batch_id)))),
        ]

    def _so_far(self) -> str:
        floor, now_us = self._stack.floor, self._stack.record.instant()
        took = figures(floor, self._batch_id, now_us).whole.all_us
        living, begun = len(floor.living(self._batch_id)), len(floor.pieces(self._batch_id))
        counts = counted(floor, "piece", begun) if living == begun else f"{living} of {counted(floor, 'piece', begun)}"
        return f"{counts}, {length_text(took)} {age_text(self.batch, now_us)}."

    def _came_of_it(self) -> str:
        floor = self._stack.floor
        told = figures(floor, self._batch_id, self._stack.record.instant())
        finished = f"{told.finished} of {told.started} {word(floor, 'finished').many}"
        seconds = f", {told.seconds} of them second" if told.seconds else ""
        per = told.whole.per_finished_min
        if per is None:
            return f"{finished}; {length_text(told.whole.all_us)} went into it."
        least = "at least " if told.at_least else ""
        return f"{finished}{seconds}; {least}{minutes_text(per)} min each."

    def _piece(self, piece: Piece) -> Action:
        title = f"{piece.mark}  {piece.number}" if piece.number else piece.mark
        return action(
            f"piece {piece.id}",
            title,
            calling(lambda: self._stack.open(PiecePage(self._stack, piece.id))),
            detail=self._detail(piece),
            role="plate" if piece.living else "raised",
        )

    def _detail(self, piece: Piece) -> str:
        if piece.outcome is Outcome.SCRAPPED and piece.reason:
            return f"lost, {piece.reason}"
        if piece.outcome is not None:
            return outcome_words(self._stack.floor)[piece.outcome]
        if piece.set_aside:
            return "set aside"
        step = stands_at(self._stack.floor, piece)
        place = step.name if step is not None else "through"
        return f"second, {place}" if piece.second else place

    def _amend(self) -> None:
        """Open the last day on which this batch was worked on."""
        starts = [interval.start_us for interval in self._stack.floor.of_batch(Interval, self._batch_id)]
        self._stack.open(DayPage(self._stack, max(starts, default=None), self._batch_id))

    def _card(self) -> None:
        """Put the card for the wall on paper, as the batch stands now."""
        from shopclock.exchange.paper.card import card_pages
        from shopclock.exchange.paper.card_facts import card_facts

        record = self._stack.record
        card = card_facts(record, self._batch_id, record.instant())
        self._stack.paper.put(f"Card {self.batch.name}", lambda size: card_pages(card, size))

    def _add(self, moment: Moment | None) -> None:
        name = word(self._stack.floor, "piece").one
        self._stack.do(f"Added {name}", lambda tx: add_piece(tx, self.batch), moment)
