"""When each piece of a stretch was done: moved by buttons or typed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.amend.about import StretchAbout
from shopclock.screens.amend.amending import MINUTE_US
from shopclock.screens.paged.offers import calling, offer, on_answer
from shopclock.screens.paged.page import Body, Line
from shopclock.shop.amend import move_mark
from shopclock.shop.day import first_after
from shopclock.shop.errors import Refusal
from shopclock.shop.values import Piece
from shopclock.widgets.dialogs import CLOCK

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.page import Offer
    from shopclock.shop.clock import Moment
    from shopclock.shop.values import Tally

MOVE_MIN = 1


class MarksPage(StretchAbout):
    """A row a piece: a minute earlier, the time, a minute later."""

    body = Body.TRIOS

    def lines(self) -> Sequence[Line]:
        """What a time here does."""
        return (Line("Each is given the minutes from the one done before it."),)

    def offers(self) -> Sequence[Offer]:
        """Three buttons for each piece, in the order they were done."""
        return [button for tally in self._amending.floor.hands.done_in(self.stretch) for button in self._of(tally)]

    def _of(self, tally: Tally) -> list[Offer]:
        by_us, mark = MOVE_MIN * MINUTE_US, self._mark(tally)
        key = f"mark {tally.id}"
        return [
            offer(f"{key} less", f"\N{MINUS SIGN} {MOVE_MIN} min", partial(self._move, tally, tally.at_us - by_us)),
            offer(key, mark, calling(lambda: self._ask(tally)), detail="done", figure=self._amending.time(tally.at_us)),
            offer(f"{key} more", f"+ {MOVE_MIN} min", partial(self._move, tally, tally.at_us + by_us)),
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
            at_us = first_after(self.stretch.start_us, text, amending.zone)
        except Refusal as refused:
            amending.stack.dialogs.tell(str(refused))
            return
        self._move(tally, at_us)

    def _move(self, tally: Tally, at_us: int, moment: Moment | None = None) -> None:
        what = f"{self._mark(tally)} done {self._amending.time(at_us)}"
        self._amending.press(what, lambda turn: move_mark(turn, tally, at_us), moment, self.stretch.start_us)
