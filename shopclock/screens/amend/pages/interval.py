"""One stretch of work: its ends by buttons or typed, what it was, cut, joined, taken away."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.amend.about import IntervalAbout
from shopclock.screens.amend.amending import MINUTE_US, how_text, long_text
from shopclock.screens.amend.asking import Asking
from shopclock.screens.amend.certainty import sure_sentence
from shopclock.screens.amend.ends import Ends
from shopclock.screens.amend.pages.marks import MarksPage
from shopclock.screens.amend.pages.pieces import CoveredPiecesPage
from shopclock.shop.review.change_text import WORK_WORDS
from shopclock.shop.state.wording import counted, word
from shopclock.shop.values.entities import Batch, Method
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.amend import join_next, next_like, remove, split_at
from shopclock.shop.work.day import first_after
from shopclock.shop.work.overlap_rules import name_of
from shopclock.views.dialogs import CLOCK
from shopclock.views.page import Body, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.amend.amending import Amending
    from shopclock.shop.values.clock import Moment
    from shopclock.views.page import Action

MOVE_MIN = 5


class IntervalPage(IntervalAbout):
    """Everything that can be put right about one stretch, each by one press."""

    body = Body.TRIOS

    def __init__(self, amending: Amending, number: int) -> None:
        super().__init__(amending, number)
        self._ends = Ends(amending)
        self._asking = Asking(amending)

    def lines(self) -> Sequence[TextLine]:
        """How long, how well its ends are known, and why it is changed."""
        took = f"{long_text(self.interval, self._amending.now_us)}. {sure_sentence(self.interval)}"
        reason = [TextLine(f"Reason: {self._amending.reason}", "straw")] if self._amending.reason else []
        return [TextLine(took, "text"), *reason]

    def offers(self) -> Sequence[Action]:
        """Start, end, what it was, how and with what."""
        return [*self._start(), *self._end(), *(self._what() if self.interval.step_id is not None else [self._kind()])]

    def actions(self) -> Sequence[Action]:
        """Cut in two, one with the next, away, why."""
        joins = next_like(self._amending.floor, self.interval) is not None
        return [
            action("split", "Split at", calling(self._ask_split)),
            action("join", "Join next", self._join, enabled=joins),
            action("remove", "Take away", self._remove),
            self._reason(),
        ]

    def _reason(self) -> Action:
        """Say why, or no longer."""
        if self._amending.reason:
            return action("reason", "No reason", calling(self._asking.drop_reason))
        return action("reason", "Reason", calling(self._asking.ask_reason))

    def _start(self) -> list[Action]:
        interval, by_us = self.interval, MOVE_MIN * MINUTE_US
        less = partial(self._ends.move_start, interval, interval.start_us - by_us)
        more = partial(self._ends.move_start, interval, interval.start_us + by_us)
        at = self._amending.time(interval.start_us)
        return [
            action("start less", f"− {MOVE_MIN} min", less, detail="starts earlier"),
            action("start", "Start", calling(lambda: self._ends.ask_start(interval)), detail="type it", figure=at),
            action("start more", f"+ {MOVE_MIN} min", more, detail="starts later"),
        ]

    def _end(self) -> list[Action]:
        interval, by_us = self.interval, MOVE_MIN * MINUTE_US
        end_us = self._amending.now_us if interval.end_us is None else interval.end_us
        at = "runs" if interval.end_us is None else self._amending.time(end_us)
        less = partial(self._ends.move_end, interval, end_us - by_us)
        more = partial(self._ends.move_end, interval, end_us + by_us)
        return [
            action("end less", f"− {MOVE_MIN} min", less, detail="ends earlier"),
            action("end", "End", calling(lambda: self._ends.ask_end(interval)), detail="type it", figure=at),
            action("end more", f"+ {MOVE_MIN} min", more, detail="ends later", enabled=interval.end_us is not None),
        ]

    def _what(self) -> list[Action]:
        interval, floor, ask = self.interval, self._amending.floor, self._asking
        batch = floor.get(Batch, interval.batch_id or 0)
        method = floor.find(Method, interval.method_id) if interval.method_id is not None else None
        pieces = counted(floor, "piece", len(interval.pieces))
        return [
            action("step", name_of(floor, interval), calling(lambda: ask.ask_step(interval)), detail="step"),
            action("batch", batch.name, calling(lambda: ask.ask_batch(interval)), detail=word(floor, "batch").one),
            action(
                "method",
                method.name if method is not None else "no method",
                calling(lambda: ask.ask_method(interval)),
                detail="method",
                enabled=any(m.stage_id == interval.stage_id for m in floor.all(Method)),
            ),
            action("pieces", spoken(floor.marks(interval.pieces)), calling(self._open_pieces), detail=pieces),
            self._kind(),
            *self._marks(),
            action(
                "work", WORK_WORDS[interval.work], calling(lambda: ask.ask_work(interval)), detail="what it was for"
            ),
        ]

    def _marks(self) -> list[Action]:
        """When its pieces were done, where they were marked one by one."""
        done = self._amending.floor.hands.done_in(self.interval)
        if not done:
            return []
        who = spoken(self._amending.floor.marks(tally.piece_id for tally in done))
        return [action("marks", f"Done: {who}", calling(self._open_marks), detail="when each was done")]

    def _open_marks(self) -> None:
        self._amending.stack.open(MarksPage(self._amending, self._number))

    def _kind(self) -> Action:
        interval = self.interval
        return action(
            "kind", how_text(interval), calling(lambda: self._asking.ask_kind(interval)), detail="who was needed"
        )

    def _open_pieces(self) -> None:
        self._amending.stack.open(CoveredPiecesPage(self._amending, self._number))

    def _ask_split(self) -> None:
        name = name_of(self._amending.floor, self.interval)
        self._amending.stack.dialogs.number(f"Split {name} at", "", on_answer(self._split), signs=CLOCK)

    def _split(self, text: str) -> None:
        interval = self.interval
        at_us = self._ends.understood(lambda: first_after(interval.start_us, text, self._amending.zone))
        if at_us is not None:
            what = f"Split {name_of(self._amending.floor, interval)} at {self._amending.time(at_us)}"
            self._amending.press(what, lambda tx: split_at(tx, interval, at_us), since_us=interval.start_us)

    def _join(self, moment: Moment | None) -> None:
        interval = self.interval
        what = f"Joined {name_of(self._amending.floor, interval)}"
        self._amending.press(what, lambda tx: join_next(tx, interval), moment, interval.start_us)

    def _remove(self, moment: Moment | None) -> None:
        interval = self.interval
        what = f"Took away {name_of(self._amending.floor, interval)}"
        self._amending.press(what, lambda tx: remove(tx, interval), moment, interval.start_us)
