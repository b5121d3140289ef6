"""Ground of Review's pages: the batch that is reviewed, its chart saved, what it earned."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.amend.pages.day import DayPage
from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.paged.paged_presenter import PagedPresenter
from shopclock.shop.review.review import Review, review
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import MINUTE_US
from shopclock.shop.values.entities import Batch
from shopclock.shop.values.money import Manner

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.screens.base_presenter import BasePresenter, ShowScreen
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.views.dialogs import Choice, Dialogs

    Save = Callable[[Batch, str, str], str]
    """Saves or copies the chart in sight under a heading, in the way that was chosen; returns what is to be told."""


def reviewed(stack: BasePresenter, batch_id: int) -> Review:
    """Review a batch of the record, a closed one too."""
    now_us = stack.record.instant()
    key = (batch_id, now_us // MINUTE_US)
    if key not in stack.floor.memo(_REVIEWS):
        floor = stack.record.load_batch(batch_id)
        stack.floor.memo(_REVIEWS)[key] = review(floor, stack.record.reads.stage_rows(now_us), batch_id, now_us)
    return stack.floor.memo(_REVIEWS)[key]


_REVIEWS: Memo[tuple[int, int], Review] = Memo()


def _no_window(_batch: Batch, _heading: str, _way: str) -> str:
    return "There is no chart in sight. Nothing was written."


class Reviewing(PagedPresenter):
    """Knows which batch is reviewed: the one that was chosen, or closed last.

    A batch that is closed after one was chosen takes its place.
    """

    def __init__(self, record: Record, dialogs: Dialogs, go: ShowScreen, to_spreadsheet: Callable[..., None]) -> None:
        super().__init__(record, dialogs, go)
        self.to_spreadsheet = to_spreadsheet
        self._chosen: tuple[int, int | None] | None = None
        self._save: Save = _no_window
        self.ways_out: Callable[[], list[Choice]] = list
        self._earned: AsyncAnswer[str] | None = None
        self._earned_of: int | None = None
        self._manner = Manner()

    def reckon_by(self, work: WorkRunner, manner: Manner) -> None:
        """Have what a batch earned worked out by this, written as the place writes money."""
        self._earned, self._manner = AsyncAnswer(work, self.changed), manner

    def earned(self, batch_id: int) -> str:
        """Earnings of a batch, in a line; nothing where they aren't known, or not yet."""
        from shopclock.analysis.money.earnings import batch_earned

        if self._earned is None:
            return ""
        if self._earned_of != batch_id:
            self._earned.drop()
        self._earned_of = batch_id
        task = partial(batch_earned, str(self.record.path), batch_id, self.record.instant(), self._manner)
        self._earned.ask((batch_id, self.record.next_undo), task)
        return self._earned.answer or ""

    def on_save(self, ways_out: Callable[[], list[Choice]], save: Save) -> None:
        """Take the chart in sight along in one of these ways, by this."""
        self.ways_out, self._save = ways_out, save

    def save_picture(self, batch: Batch, heading: str, way: str) -> None:
        """Save or copy the chart in sight, and tell where it lies."""
        self.dialogs.tell(self._save(batch, heading, way))

    def choose(self, batch_id: int) -> None:
        """Review this batch from now on."""
        self._chosen = (batch_id, self._last_closed())
        self.home()

    def amend(self, batch_id: int | None) -> None:
        """Open the last day with work, with Review of this batch behind it."""
        if batch_id is not None:
            self.choose(batch_id)
        self.home()
        self.open(DayPage(self, batch_id=batch_id))

    def batch_id(self) -> int | None:
        """The batch that is reviewed; nothing where there is none at all."""
        last = self._last_closed()
        if self._chosen is not None and self._chosen[1] == last and self.floor.find(Batch, self._chosen[0]):
            return self._chosen[0]
        if last is not None:
            return last
        return max((batch.id for batch in self.floor.open_batches()), default=None)

    def _last_closed(self) -> int | None:
        closed = [(batch.closed_us, batch.id) for batch in self.floor.all(Batch) if batch.closed_us is not None]
        return max(closed)[1] if closed else None
