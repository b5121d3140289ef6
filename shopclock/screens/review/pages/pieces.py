"""The pieces of a batch: what the lost ones cost, and the spread where they were marked one by one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.about import BatchAbout
from shopclock.screens.review.pages.right_first import RightFirstPage
from shopclock.screens.review.reviewing import reviewed
from shopclock.shop.review.review import losses, right_first_time, spreads
from shopclock.shop.review.sentences import counts_text, loss_text, right_first_text
from shopclock.shop.state.wording import length_text, minutes_text, range_text
from shopclock.shop.values.entities import Stage
from shopclock.views.page import TextLine, action, calling, void

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.review.review import Loss, Spread
    from shopclock.views.page import Action


class PiecesPage(BatchAbout):
    """A tile for each piece that did not finish, then one for each stage worked one by one."""

    def title(self) -> str:
        """How they ended."""
        return f"{counts_text(self._stack.floor, reviewed(self._stack, self._batch_id).figures)}."

    def lines(self) -> Sequence[TextLine]:
        """Which batch, and how many finished without rework."""
        told, floor = reviewed(self._stack, self._batch_id).figures, self._stack.floor
        right = right_first_time(floor, self._batch_id, self._stack.record.instant())
        said = (batch_title(floor, told.batch), right_first_text(floor, told, right))
        lines = [TextLine(": ".join(part for part in said if part) + ".")]
        if not self.offers():
            lines.append(TextLine("None was lost, and none was marked one by one: there is no spread to show."))
        return lines

    def actions(self) -> Sequence[Action]:
        """Each stage's share that was right first time."""
        stack, batch_id = self._stack, self._batch_id
        return (action("right", "Right first time", calling(lambda: stack.open(RightFirstPage(stack, batch_id)))),)

    def offers(self) -> Sequence[Action]:
        """Losses, then spreads; a press on a spread tells each piece's minutes."""
        floor, now_us = self._stack.record.load_batch(self._batch_id), self._stack.record.instant()
        return [
            *(self._loss(loss) for loss in losses(floor, self._batch_id, now_us)),
            *(self._spread(spread) for spread in spreads(floor, self._batch_id, now_us)),
        ]

    def _loss(self, loss: Loss) -> Action:
        return action(
            f"loss {loss.piece.id}",
            loss_text(loss),
            void,
            detail=loss.reason or "no reason noted",
            figure=length_text(loss.us),
        )

    def _spread(self, spread: Spread) -> Action:
        (_, least), (slowest, most) = spread.shortest, spread.longest
        name = self._stack.floor.get(Stage, spread.stage_id).name
        each = ", ".join(f"{mark} {minutes_text(minutes)}" for mark, minutes in spread.minutes)
        return action(
            f"spread {spread.stage_id}",
            name,
            calling(lambda: self._stack.dialogs.tell(f"{name}, minutes each: {each}.")),
            detail=f"{range_text(least, most)} min",
            note=f"middle {minutes_text(spread.middle_min)}, longest {slowest}",
            role="raised",
        )
