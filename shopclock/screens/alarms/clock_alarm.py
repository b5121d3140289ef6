"""The questions about the machine's clock: it was set, or its battery was flat."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING

from shopclock.screens.alarms.state import AlarmState, AlarmVerb
from shopclock.screens.base_presenter import BasePresenter
from shopclock.shop.recovery import clock_answers, questions
from shopclock.shop.state.shop_floor import Memo
from shopclock.shop.state.wording import clock_time, day_text, instant_of, shop_time, when_text, zone_of
from shopclock.shop.values.errors import Refusal, ShopError
from shopclock.shop.values.kinds import QuestionReason
from shopclock.shop.work.day import typed_time
from shopclock.views.button import Button, Press
from shopclock.views.dialogs import CLOCK

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.file.boots import Reach
    from shopclock.record.press.record import Record
    from shopclock.shop.state.fold import Move
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Question
    from shopclock.views.dialogs import Dialogs


_REACHES: Memo[tuple[int, int], tuple[Reach, Reach]] = Memo()
MINUTE_US = 60_000_000


class ClockAlarm(BasePresenter):
    """Asks which time is right. Until there is an answer, time goes on as it was."""

    def __init__(self, record: Record, dialogs: Dialogs) -> None:
        super().__init__(record, dialogs)
        self._verbs: dict[str, Callable[[Question, Moment | None], None]] = {
            AlarmVerb.CLOCK_NEW: self._new,
            AlarmVerb.CLOCK_WHOLE: self._whole,
            AlarmVerb.CLOCK_OLD: self._old,
            AlarmVerb.CLOCK_SEEN: self._seen,
            AlarmVerb.CLOCK_TYPED: self._typed,
        }

    def state(self, now_us: int) -> AlarmState | None:
        """The question, or nothing."""
        question = self._question()
        if question is None:
            return None
        if question.why is QuestionReason.BEHIND:
            return self._behind(question, now_us)
        return self._set(question, now_us) if self._is_here(question) else self._was_set(question, now_us)

    def press(self, press: Press, moment: Moment | None) -> bool:
        """Answer."""
        question = self._question()
        if question is None or press.verb not in self._verbs or press.number != question.id:
            return False
        self._verbs[press.verb](question, moment)
        return True

    def _question(self) -> Question | None:
        """A clock that was set goes before one that was behind: it puts both right. Then those of earlier boots."""
        found = [q for q in questions.open_questions(self.floor) if q.why in clock_answers.ABOUT_CLOCK]
        if not found:
            return None
        here = [q for q in found if self._is_here(q)]
        earlier = (q for q in found if q.why is QuestionReason.SET and q not in here)
        return next((q for q in here if q.why is QuestionReason.SET), next(iter(here), next(earlier, None)))

    def _is_here(self, question: Question) -> bool:
        return question.boot_id == self.record.clock.moment().boot_id

    def _set(self, question: Question, now_us: int) -> AlarmState:
        wall_us = self.record.clock.moment().wall_us
        new, old = self._said(wall_us, now_us), self._said(now_us, now_us)
        return AlarmState(
            about=f"clock {question.id}",
            role="straw",
            title=f"The machine's clock was set: it says {new}, before it would be {old}. Which is right?",
            line="What began since then keeps its length, whichever it is. Undo takes either answer back.",
            answers=self._answers(question, new, old, now_us),
        )

    def _was_set(self, question: Question, now_us: int) -> AlarmState:
        """The same of a boot that has ended."""
        old_us, shift_us = question.asked_us, question.shift_us or 0
        old, new = self._said(old_us, now_us), self._said(old_us + shift_us, now_us)
        return AlarmState(
            about=f"clock {question.id}",
            role="straw",
            title=f"Before the restart the machine's clock was set from {old} to {new}. Which was right?",
            line=f"Lengths stay as they are. It is {self._said(now_us, now_us)} now by the machine's clock.",
            answers=self._answers(question, new, old, now_us),
        )

    def _answers(self, question: Question, new: str, old: str, now_us: int) -> tuple[Button, ...]:
        """The new time, for what was pressed since the clock was known to be right or for all; and the old one."""
        known, whole = self._reaches(question)
        since = when_text(known.from_us, now_us, zone_of(self.floor))
        first = f"moves {_stretches(known.intervals)} since {since}"
        answers = [
            Button(new, first, role="primary", key=Press(AlarmVerb.CLOCK_NEW, question.id)),
            Button(old, "nothing moves", key=Press(AlarmVerb.CLOCK_OLD, question.id)),
        ]
        if whole.intervals != known.intervals:
            all_of_it = f"moves {whole.intervals} since the machine started"
            answers.insert(1, Button(f"{new}, all", all_of_it, key=Press(AlarmVerb.CLOCK_WHOLE, question.id)))
        return tuple(answers)

    def _reaches(self, question: Question) -> tuple[Reach, Reach]:
        moment = self.record.clock.moment()
        memo, key = self.floor.memo(_REACHES), (question.id, moment.boot_us // MINUTE_US)
        if key not in memo:
            memo[key] = self.record.clock_reaches(question.boot_id, moment)
        return memo[key]

    def _behind(self, question: Question, now_us: int) -> AlarmState:
        zone = zone_of(self.floor)
        wall = shop_time(self.record.clock.moment().wall_us, zone)
        since = when_text(question.sure_us, now_us, zone)
        return AlarmState(
            about=f"clock {question.id}",
            role="straw",
            title=f"The machine's clock says {day_text(wall.date())} {wall.year}. Work goes on from {since}.",
            line="All is kept. Times are guessed until the machine's clock is set, or you say what time it is.",
            answers=(
                Button("Say what time it is", role="primary", key=Press(AlarmVerb.CLOCK_TYPED, question.id)),
                Button("Seen", "the clock of the machine will be set", key=Press(AlarmVerb.CLOCK_SEEN, question.id)),
            ),
        )

    def _said(self, at_us: int, now_us: int) -> str:
        zone = zone_of(self.floor)
        at = shop_time(at_us, zone)
        year = f" {at.year}" if at.year != shop_time(now_us, zone).year else ""
        return f"{day_text(at.date())}{year} {clock_time(at)}" if year else when_text(at_us, now_us, zone)

    def _new(self, question: Question, moment: Moment | None) -> None:
        self._put_right(question, moment, whole=False)

    def _whole(self, question: Question, moment: Moment | None) -> None:
        self._put_right(question, moment, whole=True)

    def _put_right(self, question: Question, moment: Moment | None, *, whole: bool) -> None:
        moment = moment or self.record.clock.moment()
        if self._is_here(question):
            self._move(moment, moment.wall_us, whole=whole)
        else:
            self._move_earlier(question, moment, whole=whole)

    def _move_earlier(self, question: Question, moment: Moment, *, whole: bool) -> None:
        def rule(tx: Transaction, moved: Move) -> Question:
            return clock_answers.move_earlier(tx, question, moved)

        try:
            self.record.put_earlier_clock_right(rule, moment, question, whole=whole)
        except ShopError as error:
            self.dialogs.tell(str(error))

    def _old(self, question: Question, moment: Moment | None) -> None:
        self._press("Clock as before", lambda tx: clock_answers.as_before(tx, question), moment)

    def _seen(self, question: Question, moment: Moment | None) -> None:
        self._press("Seen", lambda tx: questions.answered(tx, question, questions.SEEN), moment, undoable=False)

    def _typed(self, question: Question, _: Moment | None) -> None:
        self.dialogs.number(
            "What time is it?", "", lambda text: self._told(question, text) if text else None, signs=CLOCK
        )

    def _told(self, question: Question, text: str) -> None:
        try:
            at = typed_time(text)
        except Refusal as refused:
            self.dialogs.tell(str(refused))
            return
        self._move(self.record.clock.moment(), self._first(at, question.sure_us))

    def _first(self, at: time, after_us: int) -> int:
        """The first instant from another one on at which the shop's clocks say this."""
        zone = zone_of(self.floor)
        day = shop_time(after_us, zone).date()
        found = (instant_of(datetime.combine(day + timedelta(days=n), at, zone)) for n in range(3))
        return next(us for us in found if us >= after_us)

    def _move(self, moment: Moment, now_us: int, *, whole: bool = False) -> None:
        try:
            self.record.put_clock_right(clock_answers.put_right, moment, now_us, whole=whole)
        except ShopError as error:
            self.dialogs.tell(str(error))


def _stretches(n: int) -> str:
    return "1 stretch" if n == 1 else f"{n or 'no'} stretches"
