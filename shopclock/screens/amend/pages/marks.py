"""When each piece of a stretch was done: moved by buttons or typed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.amend.about import IntervalAbout
from shopclock.screens.amend.amending import MINUTE_US
from shopclock.shop.values.entities import Piece
from shopclock.shop.values.errors import Refusal
from shopclock.shop.work.amend import move_mark
from shopclock.shop.work.day import first_after
from shopclock.views.dialogs import CLOCK
from shopclock.views.page import Body, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Tally
    from shopclock.views.page import Action

MOVE_MIN = 1


class MarksPage(IntervalAbout):
    """A row a piece: a minute earlier, the time, a minute later."""

    body = Body.TRIOS

    def lines(self) -> Sequence[TextLine]:
        """What a time here does."""
        return (TextLine("Each is given the minutes from the one done before it."),)

    def offers(self) -> Sequence[Action]:
        """Three buttons for each piece, in the order they were done."""
        return [button for tally in self._amending.floor.hands.done_in(self.interval) for button in self._of(tally)]

    def _of(self, tally: Tally) -> list[Action]:
        by_us, mark = MOVE_MIN * MINUTE_US, self._mark(tally)
        key = f"mark {tally.id}"
        return [
            action(f"{key} less", f"\N{MINUS SIGN} {MOVE_MIN} min", partial(self._move, tally, tally.at_us - by_us)),
            action(
                key, mark, calling(lambda: self._ask(tally)), detail="done", figure=self._amending.time(tally.at_us)
            ),
            action(f"{key} more", f"+ {MOVE_MIN} min", partial(self._move, tally, tally.at_us + by_us)),
        ]

    def _mark(self, tally: Tally) -> str:
        return self._amending.floor.get(Piece, tally.piece_id).mark

    def _ask(self, tally: Tally) -> None:
        at = self._amending.time(tally.at_us).replace(":", ".")
        question = f"{self._mark(tally)} done at"
        self._amending.stack.dialogs.number(question, at, on_answer(lambda text: self._take(tally, text)), signs=CLOCK)

    def _take(self, tally: Tally, text: str) -> None:
        amending = self._amending
        try:
            at_us = first_after(self.interval.start_us, text, amending.zone)
        except Refusal as refused:
            amending.stack.dialogs.tell(str(refused))
            return
        self._move(tally, at_us)

    def _move(self, tally: Tally, at_us: int, moment: Moment | None = None) -> None:
        what = f"{self._mark(tally)} done {self._amending.time(at_us)}"
        self._amending.press(what, lambda tx: move_mark(tx, tally, at_us), moment, self.interval.start_us)
