"""Keeping watch while the window is open: clocks, signs of life, stops that were forgotten. It only asks."""

from __future__ import annotations

from collections import deque
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from shopclock.shop.recovery import forgotten
from shopclock.shop.recovery.questions import ASKED, OLD, answered, ask, heard_us, open_about, open_questions
from shopclock.shop.recovery.timeline import APART_US, ClockWatch, Passed, behind_us, passed
from shopclock.shop.values.entities import Batch, Interval, Question
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import QuestionReason

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record
    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment

SECOND_US = 1_000_000
SIGN_US = 20 * SECOND_US
"""A sign of life so often; at least every 30 s are promised."""
LOOK_US = 2 * SECOND_US
"""What runs is looked at so often."""
AGAIN_US = 60 * SECOND_US
"""After a disk that failed it is tried again so much later; the maker hears of it at the next press."""
GONE_US = 5 * SECOND_US
"""Being gone for less than this is nothing to ask about."""
ASLEEP_US = 60 * SECOND_US
"""So is a sleep of less than this."""


class Watch:
    """Puts a question into the record when something happened that the maker alone can tell about.

    `start` once when the window opens, `tick` at every tick; ticks that don't come are no matter.
    """

    def __init__(self, record: Record) -> None:
        self._record = record
        moment = record.clock.moment()
        self._before = moment
        self._clocks = ClockWatch(moment)
        self._asks: deque[Callable[[Transaction], object]] = deque()
        self._sign_at = self._look_at = self._ask_at = moment.boot_us

    def start(self) -> None:
        """Ask about what still runs from before, and about a clock that was set meanwhile or has gone flat."""
        moment, record = self._record.clock.moment(), self._record
        gone_at, behind = self._last_alive_us(), behind_us(moment, record.anchor)
        if behind:
            self._put(QuestionReason.BEHIND, None, gone_at, moment, shift_us=-behind)
        if record.sign is not None and self._has_presses(moment):
            self._note_set(passed(record.sign.moment, moment), gone_at, moment)
        if behind or record.instant(moment) - gone_at > GONE_US:
            self._ask_of_all(QuestionReason.POWER, gone_at, moment)
        self.tick()

    def tick(self, moment: Moment | None = None) -> None:
        """Look at the clocks, leave a sign of life, ask."""
        moment = moment or self._record.clock.moment()
        before, self._before = self._before, moment
        found = self._clocks.look(moment)
        self._note(found, self._record.instant(before), moment)
        if moment.boot_us >= self._look_at:
            self._look_at = moment.boot_us + LOOK_US
            self._record.file.look()
            self._look(moment)
        self._ask_what_waits(moment)
        if moment.boot_us >= self._sign_at or found.set_us:  # else the next start would find it set once more
            self._sign_at = moment.boot_us + SIGN_US
            self._record.give_sign(moment)

    def usual_of(self, interval: Interval) -> Usual | None:
        """Return what is usual for an interval's stage and method, for the pattern of its batch."""
        batch = self._record.floor.find(Batch, interval.batch_id) if interval.batch_id is not None else None
        if batch is None:
            return None
        now_us = self._record.instant()
        about = interval.stage_id, interval.method_id, batch.pattern_id
        return self._record.reads.usual(*about, now_us, interval.maker_id)

    def _last_alive_us(self) -> int:
        """Return the instant of the last sign of life, or of the last entry where that was later."""
        return self._record.anchor.last_us if self._record.anchor is not None else 0

    def _has_presses(self, moment: Moment) -> bool:
        """Tell whether anything was pressed in this boot: before that the record just follows the wall clock."""
        return self._record.anchor is not None and self._record.anchor.boot_id == moment.boot_id

    def _note(self, found: Passed, before_us: int, moment: Moment) -> None:
        if found.slept_us >= ASLEEP_US:
            self._ask_of_all(QuestionReason.SLEPT, before_us, moment)
        if self._has_presses(moment):
            self._note_set(found, before_us, moment)

    def _note_set(self, found: Passed, sure_us: int, moment: Moment) -> None:
        """Ask which is right, or let the question that is open already ask of both steps."""
        if not found.set_us:
            return
        known = next((q for q in open_questions(self._record.floor) if _asks_of_set(q, moment.boot_id)), None)
        if known is None:
            self._put(QuestionReason.SET, None, sure_us, moment, shift_us=found.set_us)
        else:
            self._asks.append(partial(_set_again, question=known, by_us=found.set_us))

    def _look(self, moment: Moment) -> None:
        record = self._record
        now_us = record.instant(moment)
        for interval in forgotten.due(record.floor, now_us, self.usual_of):
            sure_us = max(heard_us(record.floor, interval), min(record.heard_of(interval.maker_id), now_us))
            self._put(QuestionReason.STILL, interval, sure_us, moment)

    def _ask_of_all(self, why: QuestionReason, sure_us: int, moment: Moment) -> None:
        for interval in list(self._record.floor.running.values()):
            own = interval.kind.attended and self._record.floor.made_here(interval)
            if own and not open_about(self._record.floor, interval):
                self._put(why, interval, max(sure_us, interval.start_us), moment)

    def _put(
        self, why: QuestionReason, interval: Interval | None, sure_us: int, moment: Moment, shift_us: int | None = None
    ) -> None:
        self._asks.append(
            partial(_ask, why=why, about=interval, sure_us=sure_us, boot_id=moment.boot_id, shift_us=shift_us)
        )

    def _ask_what_waits(self, moment: Moment) -> None:
        while self._asks and moment.boot_us >= self._ask_at:
            try:
                self._record.press(ASKED, self._asks[0], moment, by_itself=True)
            except ShopError:
                self._ask_at = moment.boot_us + AGAIN_US
                return
            self._asks.popleft()


def _ask(
    tx: Transaction, why: QuestionReason, about: Interval | None, sure_us: int, boot_id: str, shift_us: int | None
) -> None:
    """Ask, unless what it is about has ended or is asked about meanwhile."""
    now = tx.floor.find(Interval, about.id) if about is not None else None
    if about is None or (now is not None and now.running and not open_about(tx.floor, now)):
        ask(tx, why, now, sure_us, boot_id=boot_id, shift_us=shift_us)


def _asks_of_set(question: Question, boot_id: str) -> bool:
    return question.why is QuestionReason.SET and question.boot_id == boot_id


def _set_again(tx: Transaction, question: Question, by_us: int) -> None:
    """The clock was set once more before the answer; where it is back, there is nothing to ask."""
    known = tx.floor.get(Question, question.id)
    shift_us = (known.shift_us or 0) + by_us
    tx.change(replace(tx.current(known), shift_us=shift_us))
    if abs(shift_us) <= APART_US and known.answered_us is None:
        answered(tx, tx.floor.get(Question, known.id), OLD)
