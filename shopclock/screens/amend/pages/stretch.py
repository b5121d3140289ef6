"""One stretch of work: its ends by buttons or typed, what it was, cut, joined, taken away."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.amend.about import StretchAbout
from shopclock.screens.amend.amending import MINUTE_US, how_text, long_text
from shopclock.screens.amend.asking import Asking
from shopclock.screens.amend.ends import Ends
from shopclock.screens.amend.pages.marks import MarksPage
from shopclock.screens.amend.pages.pieces import PiecesPage
from shopclock.screens.amend.words import sure_sentence
from shopclock.screens.paged.offers import calling, offer, on_answer
from shopclock.screens.paged.page import Body, Line
from shopclock.shop.amend_cut import join_next, next_like, remove, split_at
from shopclock.shop.clash import name_of
from shopclock.shop.day import first_after
from shopclock.shop.marks import spoken
from shopclock.shop.told import WORK_WORDS
from shopclock.shop.values import Batch, Method
from shopclock.shop.wording import counted, word
from shopclock.widgets.dialogs import CLOCK

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.amend.amending import Amending
    from shopclock.screens.paged.page import Offer
    from shopclock.shop.clock import Moment

MOVE_MIN = 5


class StretchPage(StretchAbout):
    """Everything that can be put right about one stretch, each by one press."""

    body = Body.TRIOS

    def __init__(self, amending: Amending, number: int) -> None:
        super().__init__(amending, number)
        self._ends = Ends(amending)
        self._asking = Asking(amending)

    def lines(self) -> Sequence[Line]:
        """How long, how well its ends are known, and why it is changed."""
        took = f"{long_text(self.stretch, self._amending.now_us)}. {sure_sentence(self.stretch)}"
        reason = [Line(f"Reason: {self._amending.reason}", "straw")] if self._amending.reason else []
        return [Line(took, "text"), *reason]

    def offers(self) -> Sequence[Offer]:
        """Start, end, what it was, how and with what."""
        return [*self._start(), *self._end(), *(self._what() if self.stretch.step_id is not None else [self._kind()])]

    def actions(self) -> Sequence[Offer]:
        """Cut in two, one with the next, away, why."""
        joins = next_like(self._amending.floor, self.stretch) is not None
        return [
            offer("split", "Split at", calling(self._ask_split)),
            offer("join", "Join next", self._join, enabled=joins),
            offer("remove", "Take away", self._remove),
            self._reason(),
        ]

    def _reason(self) -> Offer:
        """Say why, or no longer."""
        if self._amending.reason:
            return offer("reason", "No reason", calling(self._asking.drop_reason))
        return offer("reason", "Reason", calling(self._asking.ask_reason))

    def _start(self) -> list[Offer]:
        stretch, by_us = self.stretch, MOVE_MIN * MINUTE_US
        less = partial(self._ends.move_start, stretch, stretch.start_us - by_us)
        more = partial(self._ends.move_start, stretch, stretch.start_us + by_us)
        at = self._amending.time(stretch.start_us)
        return [
            offer("start less", f"− {MOVE_MIN} min", less, detail="starts earlier"),
            offer("start", "Start", calling(lambda: self._ends.ask_start(stretch)), detail="type it", figure=at),
            offer("start more", f"+ {MOVE_MIN} min", more, detail="starts later"),
        ]

    def _end(self) -> list[Offer]:
        stretch, by_us = self.stretch, MOVE_MIN * MINUTE_US
        end_us = self._amending.now_us if stretch.end_us is None else stretch.end_us
        at = "runs" if stretch.end_us is None else self._amending.time(end_us)
        less = partial(self._ends.move_end, stretch, end_us - by_us)
        more = partial(self._ends.move_end, stretch, end_us + by_us)
        return [
            offer("end less", f"− {MOVE_MIN} min", less, detail="ends earlier"),
            offer("end", "End", calling(lambda: self._ends.ask_end(stretch)), detail="type it", figure=at),
            offer("end more", f"+ {MOVE_MIN} min", more, detail="ends later", enabled=stretch.end_us is not None),
        ]

    def _what(self) -> list[Offer]:
        stretch, floor, ask = self.stretch, self._amending.floor, self._asking
        batch = floor.get(Batch, stretch.batch_id or 0)
        method = floor.find(Method, stretch.method_id) if stretch.method_id is not None else None
        pieces = counted(floor, "piece", len(stretch.pieces))
        return [
            offer("step", name_of(floor, stretch), calling(lambda: ask.ask_step(stretch)), detail="step"),
            offer("batch", batch.name, calling(lambda: ask.ask_batch(stretch)), detail=word(floor, "batch").one),
            offer(
                "method",
                method.name if method is not None else "no method",
                calling(lambda: ask.ask_method(stretch)),
                detail="method",
                enabled=any(m.stage_id == stretch.stage_id for m in floor.all(Method)),
            ),
            offer("pieces", spoken(floor.marks(stretch.pieces)), calling(self._open_pieces), detail=pieces),
            self._kind(),
            *self._marks(),
            offer("work", WORK_WORDS[stretch.work], calling(lambda: ask.ask_work(stretch)), detail="what it was for"),
        ]

    def _marks(self) -> list[Offer]:
        """When its pieces were done, where they were marked one by one."""
        done = self._amending.floor.hands.done_in(self.stretch)
        if not done:
            return []
        who = spoken(self._amending.floor.marks(tally.piece_id for tally in done))
        return [offer("marks", f"Done: {who}", calling(self._open_marks), detail="when each was done")]

    def _open_marks(self) -> None:
        self._amending.stack.open(MarksPage(self._amending, self._number))

    def _kind(self) -> Offer:
        stretch = self.stretch
        return offer(
            "kind", how_text(stretch), calling(lambda: self._asking.ask_kind(stretch)), detail="who was needed"
        )

    def _open_pieces(self) -> None:
        self._amending.stack.open(PiecesPage(self._amending, self._number))

    def _ask_split(self) -> None:
        name = name_of(self._amending.floor, self.stretch)
        self._amending.stack.dialogs.number(f"Split {name} at", "", on_answer(self._split), signs=CLOCK)

    def _split(self, text: str) -> None:
        stretch = self.stretch
        at_us = self._ends.understood(lambda: first_after(stretch.start_us, text, self._amending.zone))
        if at_us is not None:
            what = f"Split {name_of(self._amending.floor, stretch)} at {self._amending.time(at_us)}"
            self._amending.press(what, lambda turn: split_at(turn, stretch, at_us), since_us=stretch.start_us)

    def _join(self, moment: Moment | None) -> None:
        stretch = self.stretch
        what = f"Joined {name_of(self._amending.floor, stretch)}"
        self._amending.press(what, lambda turn: join_next(turn, stretch), moment, stretch.start_us)

    def _remove(self, moment: Moment | None) -> None:
        stretch = self.stretch
        what = f"Took away {name_of(self._amending.floor, stretch)}"
        self._amending.press(what, lambda turn: remove(turn, stretch), moment, stretch.start_us)
