"""The questions about one stretch: which step, batch, method, who was needed, what for, and why it is changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.review.change_text import KIND_WORDS, WORK_WORDS
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Batch, Method, Pattern, Step
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work import amend
from shopclock.shop.work.overlap_rules import name_of
from shopclock.shop.work.piece_progress import order_of
from shopclock.views.dialogs import Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.amend.amending import Amending
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.entities import Interval

NO_METHOD = "none"
TOGETHER = "together"
NEWEST = 12
WHO = {
    Kind.HANDS_ON: "a hand on the work",
    Kind.WATCH: "somebody beside it",
    Kind.WAIT: "nobody",
    Kind.AWAY: "it was not in the shop",
}


class Asking:
    """Puts the questions and presses what was answered."""

    def __init__(self, amending: Amending) -> None:
        self._amending = amending

    def ask_step(self, interval: Interval) -> None:
        """Ask which step of its batch it was."""
        self._ask_steps(interval, interval.batch_id or 0, "Which step was it")

    def ask_batch(self, interval: Interval) -> None:
        """Ask which batch it was; the same step there, where it has one."""
        floor = self._amending.floor
        every = [batch for batch in floor.all(Batch) if batch.id != interval.batch_id]
        newest = sorted(every, key=lambda b: (b.closed_us is not None, -b.started_us, -b.id))[:NEWEST]
        choices = [Choice(str(b.id), b.name, floor.get(Pattern, b.pattern_id).name) for b in newest]
        if not choices:
            self._amending.stack.dialogs.tell(f"There is no other {word(floor, 'batch').one}.")
            return
        question = f"Which {word(floor, 'batch').one} was it"
        self._ask(question, choices, lambda key: self._take_batch(interval, int(key)))

    def ask_method(self, interval: Interval) -> None:
        """Ask how it was worked."""
        floor = self._amending.floor
        methods = [m for m in floor.all(Method) if m.stage_id == interval.stage_id]
        choices = [Choice(str(m.id), m.name, checked=m.id == interval.method_id) for m in methods]
        choices.append(Choice(NO_METHOD, "No method", checked=interval.method_id is None))

        def take(key: str) -> None:
            number = None if key == NO_METHOD else int(key)
            name = next(choice.label for choice in choices if choice.key == key)
            self._press(interval, name.lower(), lambda tx: amend.use_method(tx, interval, number))

        self._ask("How was it worked", choices, take)

    def ask_kind(self, interval: Interval) -> None:
        """Ask who was needed, and whether it was at once with other work by hand."""
        choices = [Choice(k, KIND_WORDS[k].capitalize(), WHO[k], checked=k is interval.kind) for k in Kind]
        if interval.kind is Kind.HANDS_ON:
            now = "it was" if interval.together else "it was not"
            choices.append(Choice(TOGETHER, "Both at once", now, checked=interval.together))

        def take(key: str) -> None:
            if key == TOGETHER:
                wanted = not interval.together
                said = "both at once" if wanted else "by itself"
                self._press(interval, said, lambda tx: amend.share_hands(tx, interval, together=wanted))
            else:
                kind = Kind(key)
                self._press(interval, KIND_WORDS[kind], lambda tx: amend.use_kind(tx, interval, kind))

        self._ask("Who was needed", choices, take)

    def ask_work(self, interval: Interval) -> None:
        """Ask what it was for."""
        choices = [Choice(w, WORK_WORDS[w].capitalize(), checked=w is interval.work) for w in WorkKind]
        self._ask("What was it for", choices, lambda key: self._take_work(interval, WorkKind(key)))

    def ask_reason(self) -> None:
        """Ask for one line that goes with the changes from now on."""
        self._amending.stack.dialogs.text("Why is it changed", "", on_answer(self._take_reason))

    def drop_reason(self) -> None:
        """The changes from now on have none."""
        self._take_reason("")

    def _take_reason(self, text: str) -> None:
        self._amending.reason = text.strip()
        self._amending.stack.changed()

    def _take_batch(self, interval: Interval, batch_id: int) -> None:
        self._amending.stack.record.load_batch(batch_id)
        was = self._amending.floor.find(Step, interval.step_id or 0)
        same = [s for s in order_of(self._amending.floor, batch_id).timed if s.stage_id == interval.stage_id]
        named = [step for step in same if was is not None and step.name == was.name] or same
        if len(named) == 1:
            self._take_step(interval, named[0])
        else:
            self._ask_steps(interval, batch_id, "Which step was it there")

    def _ask_steps(self, interval: Interval, batch_id: int, question: str) -> None:
        floor = self._amending.floor
        steps = order_of(floor, batch_id).timed
        choices = [Choice(str(s.id), s.name, checked=s.id == interval.step_id) for s in steps]
        self._ask(question, choices, lambda key: self._take_step(interval, floor.get(Step, int(key))))

    def _take_step(self, interval: Interval, step: Step) -> None:
        said = self._amending.floor.get(Batch, step.batch_id).name
        what = step.name if step.batch_id == interval.batch_id else f"{step.name}, {said}"
        self._press(interval, what, lambda tx: amend.use_step(tx, interval, step))

    def _take_work(self, interval: Interval, work: WorkKind) -> None:
        if work is not WorkKind.REWORK:
            self._press(interval, WORK_WORDS[work], lambda tx: amend.use_work(tx, interval, work))
            return
        floor = self._amending.floor
        steps = order_of(floor, interval.batch_id or 0).timed
        choices = [Choice(str(s.id), s.name, checked=s.id == interval.cause_step_id) for s in steps]

        def take(key: str) -> None:
            cause = floor.get(Step, int(key))
            what = f"done again, {cause.name}"
            self._press(interval, what, lambda tx: amend.use_work(tx, interval, work, cause))

        self._ask("Which step made it necessary", choices, take)

    def _ask(self, question: str, choices: list[Choice], then: Callable[[str], object]) -> None:
        self._amending.stack.dialogs.ask(question, choices, on_answer(then))

    def _press(self, interval: Interval, what: str, rule: Callable[[Transaction], object]) -> None:
        name = name_of(self._amending.floor, interval)
        self._amending.press(f"{name}: {what}", rule, since_us=interval.start_us)
