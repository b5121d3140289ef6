"""What the Bench remembers between presses, and the one way from it to the record."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.bench.current_work import CurrentWork, Selection, current_work, running_by
from shopclock.screens.bench.state import BenchPage, Mode
from shopclock.shop.work.begin import last_stopped, usual_method

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.record.press.record import Record
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Piece
    from shopclock.views.dialogs import Choice, Dialogs, Then

T = TypeVar("T")
SAID_FOR_US = 15 * 60 * 1_000_000
"""So long a line stands on the plate, unless the next press comes sooner."""


@dataclass(slots=True)
class BenchMemory:
    """What was looked at and chosen; nothing of it is in the record.

    `step_id` is the running step asked for, `chosen` the pieces and `method_id` the method for what
    will be started, `none` that *None* was pressed and a letter has to follow, `both` that the next
    start stops nothing, `said` the line that says something for a while, `touched_us` the last press.
    """

    touched_us: int
    batch_id: int | None = None
    step_id: int | None = None
    page: BenchPage = BenchPage.BENCH
    chosen: frozenset[int] | None = None
    method_id: int | None = None
    none: bool = False
    both: bool = False
    said: str = ""

    def drop_choice(self) -> None:
        """What is in hand has changed: nothing is chosen any more."""
        self.chosen, self.method_id, self.none = None, None, False

    def said_now(self, now_us: int) -> str:
        """What has to be said: a line about a press is no news to whoever comes back later."""
        return self.said if now_us - self.touched_us < SAID_FOR_US else ""

    def look_at(self, batch_id: int | None) -> None:
        """Have a batch in sight, on the first page; shop work leaves the batch in sight."""
        if batch_id is not None:
            self.batch_id = batch_id
        self.step_id, self.page, self.both = None, BenchPage.BENCH, False
        self.drop_choice()


class BenchSession(BasePresenter):
    """The record, the questions and the memory of the Bench."""

    def __init__(self, record: Record, dialogs: Dialogs) -> None:
        super().__init__(record, dialogs)
        self.listeners: list[Callable[[], None]] = []
        self.opened_us = record.instant()
        self.memory = BenchMemory(self.opened_us)

    def do(self, what: str, rule: Callable[[Transaction], T], moment: Moment | None = None) -> T | None:
        """Do a press; on a refusal say why and return nothing."""
        self.memory.drop_choice()
        return self._press(what, rule, moment)

    def ask(self, question: str, choices: Sequence[Choice], then: Then) -> None:
        """Ask, and have everything drawn again after the answer."""

        def answer(key: str | None) -> None:
            then(key)
            self.tell()

        self.dialogs.ask(question, choices, answer)

    def tell(self) -> None:
        """Tell who draws that something has changed."""
        for listener in self.listeners:
            listener()

    def say(self, sentence: str) -> None:
        """Say this on the plate until the next press, or for a while."""
        self.memory.said = sentence

    def _warn(self, warnings: Sequence[str]) -> None:
        """Order rules warn in one line; the work goes on."""
        self.say(" ".join(warnings))

    @property
    def maker_id(self) -> int:
        """Whose hands they are."""
        return self.record.maker.id

    def eye(self) -> Selection:
        """What is looked at: the batch chosen as long as it is open, else where the work is."""
        open_ids = [batch.id for batch in self.floor.open_batches()]
        if self.memory.batch_id not in open_ids:
            self.memory.batch_id = self._where_the_work_is(open_ids)
        return Selection(self.memory.batch_id, self.memory.step_id)

    def _where_the_work_is(self, open_ids: list[int]) -> int | None:
        worked = [*running_by(self.floor, self.maker_id), *last_stopped(self.floor, self.maker_id)]
        found = next((i.batch_id for i in worked if i.batch_id in open_ids), None)
        return found if found is not None else next(reversed(open_ids), None)

    def hand(self, now_us: int | None = None) -> CurrentWork:
        """What is in hand now."""
        now_us = self.record.instant() if now_us is None else now_us
        return current_work(self.floor, self.maker_id, self.eye(), now_us)

    def chosen(self, hand: CurrentWork) -> frozenset[int]:
        """The pieces in hand; before a start those chosen for it."""
        if self.memory.none:
            return frozenset()
        if not hand.running and self.memory.chosen is not None:
            return self.memory.chosen & {p.id for p in self._living(hand)}
        return frozenset(hand.pieces)

    def _living(self, hand: CurrentWork) -> tuple[Piece, ...]:
        return self.floor.living(hand.batch.id) if hand.batch is not None else ()

    def method_id(self, hand: CurrentWork) -> int | None:
        """The method of what will be started: the one chosen, else the usual one."""
        if hand.mode is not Mode.READY or hand.step is None:
            return None
        return self.memory.method_id or usual_method(self.floor, hand.step)
