"""The questions about work that nobody stopped: still at it, a power cut, a sleep."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.alarms.state import AlarmState, AlarmVerb
from shopclock.screens.base_presenter import BasePresenter
from shopclock.screens.bench.current_work import chain
from shopclock.screens.bench.texts import letters_text, name_of, of_batch
from shopclock.shop.recovery import answers
from shopclock.shop.recovery.forgotten import gap_us, likely_times, usual_end
from shopclock.shop.recovery.questions import open_questions
from shopclock.shop.state.wording import near_day_text, time_example, time_text, when_text, zone_of
from shopclock.shop.values.entities import Interval, Question, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import QuestionReason
from shopclock.shop.work.day import first_after
from shopclock.shop.work.makers import name_of_maker, several
from shopclock.views.button import Button, Press
from shopclock.views.dialogs import CLOCK

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from shopclock.record.press.record import Record
    from shopclock.shop.recovery.forgotten import UsualOf
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.dialogs import Dialogs

MINUTE_US = 60_000_000
LAST_US = 2**63
"""Later than any time."""


def where_and_whose(floor: ShopFloor, interval: Interval) -> list[str]:
    """Say of which batch and pieces work is, and in whose hands where there are several makers."""
    who = name_of_maker(floor, interval.maker_id) if several(floor) else ""
    return [part for part in (who, of_batch(floor, interval), letters_text(floor, interval.pieces)) if part]


def time_button(floor: ShopFloor, press: Press, now_us: int) -> Button:
    """Return the button of an instant to choose, the day under its time where it isn't today."""
    zone = zone_of(floor)
    return Button(time_text(press.choice, zone), near_day_text(press.choice, now_us, zone), key=press)


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
        self._verbs: dict[str, Callable[[int, Moment | None], None]] = {
            AlarmVerb.STILL: self._still,
            AlarmVerb.STOPPED: self._stopped,
            AlarmVerb.STOPPED_TYPED: lambda *_: self._ask_time("Stopped at", self._stopped),
            AlarmVerb.OTHER: self._other,
            AlarmVerb.OTHER_STEP: self._choose,
            AlarmVerb.OTHER_AT: self._other_at,
            AlarmVerb.OTHER_TYPED: lambda *_: self._ask_time("Since when", self._other_at),
            AlarmVerb.BACK: self._back,
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

    def press(self, press: Press, moment: Moment | None) -> bool:
        """Answer, or turn a page."""
        question = self._question()
        if question is None or press.verb not in self._verbs or press.number != question.id:
            return False
        self._verbs[press.verb](press.choice, moment)
        return True

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
            maker_id=interval.maker_id,
            answers=self._answers(question, interval, end_us, now_us),
            heading="Stopped at",
            times=(
                _another(AlarmVerb.STOPPED_TYPED, question),
                *((at, time_button(self.floor, Press(AlarmVerb.STOPPED, question.id, at), now_us)) for at in times),
            ),
        )

    def _title(self, question: Question, interval: Interval, now_us: int) -> str:
        name = name_of(self.floor, interval)
        sure, now = self._at(question.sure_us, now_us), self._at(now_us, now_us)
        if question.why is QuestionReason.POWER:
            return f"{name} was running. Last sign of life {sure}, now {now}."
        if question.why is QuestionReason.SLEPT:
            return f"{name} was running. The machine slept from {sure} to {self._at(question.asked_us, now_us)}."
        return f"{name} since {self._at(chain(self.floor, interval)[-1].start_us, now_us)}. Still at it?"

    def _line(self, interval: Interval) -> str:
        done = self.floor.hands.done_in(interval)
        parts = where_and_whose(self.floor, interval)
        if done:
            who = letters_text(self.floor, [done[-1].piece_id])
            parts.append(f"{who} done {self._at(done[-1].at_us, done[-1].at_us)}")
        return "  ·  ".join(parts)

    def _answers(self, question: Question, interval: Interval, end_us: int | None, now_us: int) -> tuple[Button, ...]:
        still = question.why is QuestionReason.STILL
        yes = "Yes, still at it" if still else "It went on all the time"
        found = [Button(yes, role="primary", key=Press(AlarmVerb.STILL, question.id))]
        if self._may_end(interval, question.sure_us, now_us):
            at, key = self._at(question.sure_us, now_us), Press(AlarmVerb.STOPPED, question.id, question.sure_us)
            found.append(Button(f"Stopped at {at}", self._sure_is(question), key=key))
        if end_us is not None and end_us != question.sure_us and self._may_end(interval, end_us, now_us):
            text, key = f"Stopped at {self._at(end_us, now_us)}", Press(AlarmVerb.STOPPED, question.id, end_us)
            found.insert(1 if still else 2, Button(text, "when it usually ends", key=key))
        if answers.other_steps(self.floor, interval):
            found.append(Button("It was another step", key=Press(AlarmVerb.OTHER, question.id)))
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
            maker_id=interval.maker_id,
            answers=tuple(Button(step.name, key=Press(AlarmVerb.OTHER_STEP, question.id, step.id)) for step in steps),
            back=Button("Back", role="raised", key=Press(AlarmVerb.BACK, question.id)),
        )

    def _when(self, question: Question, interval: Interval, step: Step, now_us: int) -> AlarmState:
        points = self._points(question, interval, self._usual_end(interval), now_us)
        times = self._times(interval, points, now_us)
        return AlarmState(
            about=f"{question.id} when",
            role="straw",
            title=f"{step.name} since when?",
            line=f"Until then it was {name_of(self.floor, interval)}.",
            maker_id=interval.maker_id,
            times=(
                _another(AlarmVerb.OTHER_TYPED, question),
                *((at, time_button(self.floor, Press(AlarmVerb.OTHER_AT, question.id, at), now_us)) for at in times),
            ),
            back=Button("Back", role="raised", key=Press(AlarmVerb.BACK, question.id)),
        )

    def _usual_end(self, interval: Interval) -> int | None:
        """The usual end, on the minute."""
        at = usual_end(self.floor, interval, self._usual_of(interval))
        return at // MINUTE_US * MINUTE_US if at is not None else None

    def _points(self, question: Question, interval: Interval, end_us: int | None, now_us: int) -> list[int]:
        """Instants at which a stop is likely: the last sure moment, a piece later, the usual end, now."""
        gap = gap_us(self.floor, interval, self._usual_of(interval))
        later = question.sure_us + gap if gap is not None else None
        return [at for at in (question.sure_us, later, end_us, now_us) if at is not None]

    def _times(self, interval: Interval, points: list[int], now_us: int) -> tuple[int, ...]:
        return likely_times(points, answers.earliest_end(self.floor, interval), now_us)

    def _may_end(self, interval: Interval, at_us: int, now_us: int) -> bool:
        return answers.earliest_end(self.floor, interval) < at_us <= now_us

    def _at(self, at_us: int, now_us: int) -> str:
        return when_text(at_us, now_us, zone_of(self.floor))

    def _still(self, _: int, moment: Moment | None) -> None:
        self._answer("Still at it", answers.still_at_it, moment, undoable=False)

    def _stopped(self, at_us: int, moment: Moment | None) -> None:
        what = f"Stopped at {self._at(at_us, self.record.instant(moment))}"
        self._answer(what, partial(answers.stopped, end_us=at_us), moment)

    def _other(self, _: int, _moment: Moment | None) -> None:
        self._choosing = True

    def _choose(self, step_id: int, _moment: Moment | None) -> None:
        self._step_id = step_id

    def _other_at(self, at_us: int, moment: Moment | None) -> None:
        step = self.floor.find(Step, self._step_id or 0)
        if step is not None:
            rule = partial(answers.other_step, step=step, from_us=at_us)
            self._answer(f"It was {step.name}", rule, moment)

    def _ask_time(self, words: str, then: Callable[[int, Moment | None], None]) -> None:
        """Type any other time: the first one that the shop's clock showed after the last piece."""
        question = self._question()
        if question is None:
            return
        interval = self.floor.get(Interval, question.about_id or 0)

        def take(text: str | None) -> None:
            if not text:
                return
            try:
                at_us = first_after(answers.earliest_end(self.floor, interval), text, zone_of(self.floor))
            except Refusal as refused:
                self.dialogs.tell(str(refused))
                return
            then(at_us, None)

        self.dialogs.number(f"{words}, such as {time_example()}", "", take, signs=CLOCK)

    def _back(self, _: int, _moment: Moment | None) -> None:
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


def _another(verb: AlarmVerb, question: Question) -> tuple[int, Button]:
    """The button for a time that no other one says: it has a place before all of them, and stands behind them."""
    return LAST_US, Button("Another time", key=Press(verb, question.id))
