"""The questions about work that nobody stopped: still at it, a power cut, a sleep."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.alarms.state import AlarmState
from shopclock.screens.alarms.texts import day_aside, of_batch
from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.bench.current_work import chain_start
from shopclock.screens.bench.state import BenchButton
from shopclock.screens.bench.texts import letters_text, name_of
from shopclock.shop.recovery import answers
from shopclock.shop.recovery.forgotten import gap_us, likely_times, usual_end
from shopclock.shop.recovery.questions import open_questions
from shopclock.shop.state.wording import when_text, zone_of
from shopclock.shop.values.entities import Interval, Question, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import QuestionReason
from shopclock.shop.work.day import first_after
from shopclock.views.dialogs import CLOCK

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from shopclock.record.press.record import Record
    from shopclock.shop.recovery.forgotten import UsualOf
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.dialogs import Dialogs

MINUTE_US = 60_000_000
LAST_US = 2**63
"""Later than any time."""


class WorkAlarm(BasePresenter):
    """Asks about the first open question with one of these reasons.

    *It was another step* opens two pages: which step (`_choosing`), then since when (`_step_id`).
    """

    def __init__(self, record: Record, dialogs: Dialogs, usual_of: UsualOf, reasons: Iterable[QuestionReason]) -> None:
        super().__init__(record, dialogs)
        self._usual_of = usual_of
        self._reasons = tuple(reasons)
        self._choosing = False
        self._step_id: int | None = None
        self._verbs: dict[str, Callable[[str, Moment | None], None]] = {
            "still": self._still,
            "stopped": self._stopped,
            "other": self._other,
            "other-step": self._choose,
            "other-at": self._other_at,
            "another": self._ask_time,
            "alarm-back": self._back,
        }

    def state(self, now_us: int) -> AlarmState | None:
        """The question, or the pages behind *It was another step*."""
        question = self._question()
        if question is None:
            self._choosing, self._step_id = False, None
            return None
        interval = self.floor.get(Interval, question.about_id or 0)
        step = self.floor.find(Step, self._step_id or 0)
        if step is not None:
            return self._when(question, interval, step, now_us)
        if self._choosing:
            return self._which(question, interval)
        return self._main(question, interval, now_us)

    def press(self, verb: str, argument: str, moment: Moment | None) -> bool:
        """Answer, or turn a page."""
        question = self._question()
        if question is None or verb not in self._verbs or not self._is_mine(argument, question):
            return False
        self._verbs[verb](argument.partition(":")[2], moment)
        return True

    def _is_mine(self, argument: str, question: Question) -> bool:
        return argument.partition(":")[0] == str(question.id)

    def _question(self) -> Question | None:
        return next((q for q in open_questions(self.floor) if q.why in self._reasons), None)

    def _main(self, question: Question, interval: Interval, now_us: int) -> AlarmState:
        end_us = self._usual_end(interval)
        points = self._points(question, interval, end_us, now_us)
        named = {key for key in (end_us, question.sure_us) if key is not None}
        low_us = 0 if question.why is QuestionReason.STILL else question.sure_us
        times = [t for t in self._times(interval, points, now_us) if t not in named and t > low_us]
        return AlarmState(
            about=f"{question.id}",
            role="straw",
            title=self._title(question, interval, now_us),
            line=self._line(interval),
            answers=self._answers(question, interval, end_us, now_us),
            heading="Stopped at",
            times=(
                _another(question, "stopped"),
                *((at, self._time(f"stopped:{question.id}:{at}", at, now_us)) for at in times),
            ),
        )

    def _title(self, question: Question, interval: Interval, now_us: int) -> str:
        name = name_of(self.floor, interval)
        sure, now = self._at(question.sure_us, now_us), self._at(now_us, now_us)
        if question.why is QuestionReason.POWER:
            return f"{name} was running. Last sign of life {sure}, now {now}."
        if question.why is QuestionReason.SLEPT:
            return f"{name} was running. The machine slept from {sure} to {self._at(question.asked_us, now_us)}."
        return f"{name} since {self._at(chain_start(self.floor, interval), now_us)}. Still at it?"

    def _line(self, interval: Interval) -> str:
        done = self.floor.hands.done_in(interval)
        parts = [of_batch(self.floor, interval), letters_text(self.floor, interval.pieces)]
        if done:
            who = letters_text(self.floor, [done[-1].piece_id])
            parts.append(f"{who} done {self._at(done[-1].at_us, done[-1].at_us)}")
        return "  ·  ".join(part for part in parts if part)

    def _answers(
        self, question: Question, interval: Interval, end_us: int | None, now_us: int
    ) -> tuple[BenchButton, ...]:
        still = question.why is QuestionReason.STILL
        yes = "Yes, still at it" if still else "It went on all the time"
        found = [BenchButton(f"still:{question.id}", yes, role="primary")]
        if self._may_end(interval, question.sure_us, now_us):
            at = self._at(question.sure_us, now_us)
            found.append(
                BenchButton(f"stopped:{question.id}:{question.sure_us}", f"Stopped at {at}", self._sure_is(question))
            )
        if end_us is not None and end_us != question.sure_us and self._may_end(interval, end_us, now_us):
            text = f"Stopped at {self._at(end_us, now_us)}"
            found.insert(
                1 if still else 2, BenchButton(f"stopped:{question.id}:{end_us}", text, "when it usually ends")
            )
        if answers.other_steps(self.floor, interval):
            found.append(BenchButton(f"other:{question.id}", "It was another step"))
        return tuple(found)

    def _sure_is(self, question: Question) -> str:
        return {QuestionReason.POWER: "the last sign of life", QuestionReason.SLEPT: "when it fell asleep"}.get(
            question.why, "the last press"
        )

    def _which(self, question: Question, interval: Interval) -> AlarmState:
        steps = answers.other_steps(self.floor, interval)
        return AlarmState(
            about=f"{question.id} which",
            role="straw",
            title=f"Which step was it, after {name_of(self.floor, interval)}?",
            line=self._line(interval),
            answers=tuple(BenchButton(f"other-step:{question.id}:{step.id}", step.name) for step in steps),
            back=BenchButton(f"alarm-back:{question.id}", "Back", role="raised"),
        )

    def _when(self, question: Question, interval: Interval, step: Step, now_us: int) -> AlarmState:
        points = self._points(question, interval, self._usual_end(interval), now_us)
        times = self._times(interval, points, now_us)
        return AlarmState(
            about=f"{question.id} when",
            role="straw",
            title=f"{step.name} since when?",
            line=f"Until then it was {name_of(self.floor, interval)}.",
            times=(
                _another(question, "other-at"),
                *((at, self._time(f"other-at:{question.id}:{at}", at, now_us)) for at in times),
            ),
            back=BenchButton(f"alarm-back:{question.id}", "Back", role="raised"),
        )

    def _usual_end(self, interval: Interval) -> int | None:
        """The usual end, on the minute."""
        at = usual_end(self.floor, interval, self._usual_of(interval))
        return at // MINUTE_US * MINUTE_US if at is not None else None

    def _points(self, question: Question, interval: Interval, end_us: int | None, now_us: int) -> list[int]:
        """Where a stop is likely: the last sure moment, a piece later, the usual end, now."""
        gap = gap_us(self.floor, interval, self._usual_of(interval))
        later = question.sure_us + gap if gap is not None else None
        return [at for at in (question.sure_us, later, end_us, now_us) if at is not None]

    def _times(self, interval: Interval, points: list[int], now_us: int) -> tuple[int, ...]:
        return likely_times(points, answers.earliest_end(self.floor, interval), now_us)

    def _may_end(self, interval: Interval, at_us: int, now_us: int) -> bool:
        return answers.earliest_end(self.floor, interval) < at_us <= now_us

    def _at(self, at_us: int, now_us: int) -> str:
        return when_text(at_us, now_us, zone_of(self.floor))

    def _time(self, key: str, at_us: int, now_us: int) -> BenchButton:
        clock, day = day_aside(at_us, now_us, zone_of(self.floor))
        return BenchButton(key, clock, day)

    def _still(self, _: str, moment: Moment | None) -> None:
        self._answer("Still at it", answers.still_at_it, moment, undoable=False)

    def _stopped(self, at: str, moment: Moment | None) -> None:
        what = f"Stopped at {self._at(int(at), self.record.instant(moment))}"
        self._answer(what, partial(answers.stopped, end_us=int(at)), moment)

    def _other(self, _: str, _moment: Moment | None) -> None:
        self._choosing = True

    def _choose(self, number: str, _moment: Moment | None) -> None:
        self._step_id = int(number)

    def _other_at(self, at: str, moment: Moment | None) -> None:
        step = self.floor.find(Step, self._step_id or 0)
        if step is not None:
            rule = partial(answers.other_step, step=step, from_us=int(at))
            self._answer(f"It was {step.name}", rule, moment)

    def _ask_time(self, verb: str, _moment: Moment | None) -> None:
        """Type any other time: the first one that the shop's clock showed after the last piece."""
        question = self._question()
        if question is None:
            return
        interval = self.floor.get(Interval, question.about_id or 0)

        def take(text: str | None) -> None:
            if text:
                self._take_time(verb, interval, text)

        words = "Stopped at" if verb == "stopped" else "Since when"
        self.dialogs.number(f"{words}, such as 19:10", "", take, signs=CLOCK)

    def _take_time(self, verb: str, interval: Interval, text: str) -> None:
        try:
            at_us = first_after(answers.earliest_end(self.floor, interval), text, zone_of(self.floor))
        except Refusal as refused:
            self.dialogs.tell(str(refused))
            return
        self._verbs[verb](str(at_us), None)

    def _back(self, _: str, _moment: Moment | None) -> None:
        if self._step_id is None:
            self._choosing = False
        self._step_id = None

    def _answer(
        self,
        what: str,
        rule: Callable[[Transaction, Question], object],
        moment: Moment | None,
        *,
        undoable: bool = True,
    ) -> None:
        question = self._question()
        if question is not None:
            self._press(what, lambda tx: rule(tx, question), moment, undoable=undoable)
            self._choosing, self._step_id = False, None


def _another(question: Question, verb: str) -> tuple[int, BenchButton]:
    """The button for a time that no other one says: it has a place before all of them, and stands behind them."""
    return LAST_US, BenchButton(f"another:{question.id}:{verb}", "Another time")
