"""Right first time: of the pieces that came to each stage, those neither lost there nor worked anew because of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.analysis.learning.first_time import all_through, first_time
from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.about import BatchAbout
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Stage
from shopclock.views.page import TextLine, action, void

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.first_time import FirstTime
    from shopclock.views.page import Action


class RightFirstPage(BatchAbout):
    """A tile for each stage that pieces came to, those with something wrong first."""

    def title(self) -> str:
        """The share all through."""
        share = all_through(one.share for one in self._found())
        if share is None:
            return f"No {word(self._stack.floor, 'piece').one} has come through a {self._stage_word()} yet."
        so_far = " so far" if self.batch.closed_us is None else ""
        return f"{100 * share:.0f} % right first time all through{so_far}"

    def lines(self) -> Sequence[TextLine]:
        """Which batch, and how the share comes about."""
        said = f"The shares of all {word(self._stack.floor, 'stage').many} multiplied. Work done anew counts where it"
        return (TextLine(f"{batch_title(self._stack.floor, self.batch)}: {said} was caused."),)

    def offers(self) -> Sequence[Action]:
        """The stages."""
        found = sorted(self._found(), key=lambda one: one.right == one.came)
        return [self._stage(one) for one in found]

    def _found(self) -> list[FirstTime]:
        floor = self._stack.record.load_batch(self._batch_id)
        return [one for one in first_time(floor, self._batch_id, self._stack.record.instant()) if one.came]

    def _stage_word(self) -> str:
        return word(self._stack.floor, "stage").one

    def _stage(self, one: FirstTime) -> Action:
        share = one.right / one.came
        return action(
            f"right {one.stage_id}",
            self._stack.floor.get(Stage, one.stage_id).name,
            void,
            detail=f"{one.right} of {one.came} right first time",
            figure=f"{100 * share:.0f} %",
            role="plate" if one.right < one.came else "raised",
        )
