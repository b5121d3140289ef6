"""Two batches of a pattern side by side."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.about import BatchAbout
from shopclock.screens.review.bars_look import beside
from shopclock.screens.review.pages.choosing import closed_text, newest_first
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.review.sentences import answer, beside_text
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Batch, Pattern
from shopclock.views.page import Body, ChartView, TextLine, action, calling

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.views.page import Action


class SamePattern(BatchAbout):
    """The other batches of the same pattern."""

    def title(self) -> str:
        """What is asked, or that there is no other."""
        floor, batch = self._stack.floor, self.batch
        pattern, name = floor.get(Pattern, batch.pattern_id).name, word(floor, "batch").one
        if not self.offers():
            return f"{batch.name} is the only {name} of {pattern}; there is none to put beside it."
        return f"{batch.name} beside which {name} of {pattern}?"

    def offers(self) -> Sequence[Action]:
        """A tile for each."""
        floor = self._stack.floor
        pattern_id = self.batch.pattern_id
        return [
            action(
                f"batch {batch.id}",
                batch_title(floor, batch),
                calling(partial(self._open, batch.id)),
                detail=closed_text(floor, batch),
            )
            for batch in newest_first(floor)
            if batch.pattern_id == pattern_id and batch.id != self._batch_id
        ]

    def _open(self, other_id: int) -> None:
        self._stack.open(BesidePage(self._stack, self._batch_id, other_id))


class BesidePage(BatchAbout):
    """Stage by stage, the one above the other."""

    body = Body.CHART

    def __init__(self, stack: PagedPresenter, batch_id: int, other_id: int) -> None:
        super().__init__(stack, batch_id)
        self._other_id = other_id

    def gone(self) -> bool:
        """Whether an Undo took one of them away."""
        return super().gone() or self._stack.floor.find(Batch, self._other_id) is None

    def title(self) -> str:
        """Both in one sentence."""
        one, other = (reviewed(self._stack, number).figures for number in (self._batch_id, self._other_id))
        return beside_text(self._stack.floor, one, other)

    def lines(self) -> Sequence[TextLine]:
        """Each in its own sentence."""
        found = (reviewed(self._stack, number).figures for number in (self._batch_id, self._other_id))
        return [TextLine(f"{told.batch.name}: {answer(self._stack.floor, told)}") for told in found]

    def chart(self) -> ChartView | None:
        """Both as bars."""
        one, other = (reviewed(self._stack, number) for number in (self._batch_id, self._other_id))
        return ChartView(beside(self._stack.floor, one, other)) if one.stages or other.stages else None
