"""The questions about one stretch: which step, batch, method, who was needed, what for, and why it is changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.paged.offers import on_answer
from shopclock.shop import amend
from shopclock.shop.clash import name_of
from shopclock.shop.kinds import Kind, Work
from shopclock.shop.order import order_of
from shopclock.shop.told import KIND_WORDS, WORK_WORDS
from shopclock.shop.values import Batch, Method, Pattern, Step
from shopclock.shop.wording import word
from shopclock.widgets.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.amend.amending import Amending
    from shopclock.shop.turn import Turn
    from shopclock.shop.values import Interval

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

    def ask_step(self, stretch: Interval) -> None:
        """Ask which step of its batch it was."""
        self._ask_steps(stretch, stretch.batch_id or 0, "Which step was it")

    def ask_batch(self, stretch: Interval) -> None:
        """Ask which batch it was; the same step there, where it has one."""
        floor = self._amending.floor
        every = [batch for batch in floor.all(Batch) if batch.id != stretch.batch_id]
        newest = sorted(every, key=lambda b: (b.closed_us is not None, -b.started_us, -b.id))[:NEWEST]
        choices = [Choice(str(b.id), b.name, floor.get(Pattern, b.pattern_id).name) for b in newest]
        if not choices:
            self._amending.stack.dialogs.tell(f"There is no other {word(floor, 'batch').one}.")
            return
        question = f"Which {word(floor, 'batch').one} was it"
        self._ask(question, choices, lambda key: self._take_batch(stretch, int(key)))

    def ask_method(self, stretch: Interval) -> None:
        """Ask how it was worked."""
        floor = self._amending.floor
        methods = [m for m in floor.all(Method) if m.stage_id == stretch.stage_id]
        choices = [Choice(str(m.id), m.name, checked=m.id == stretch.method_id) for m in methods]
        choices.append(Choice(NO_METHOD, "No method", checked=stretch.method_id is None))

        def take(key: str) -> None:
            number = None if key == NO_METHOD else int(key)
            name = next(choice.label for choice in choices if choice.key == key)
            self._press(stretch, name.lower(), lambda turn: amend.use_method(turn, stretch, number))

        self._ask("How was it worked", choices, take)

    def ask_kind(self, stretch: Interval) -> None:
        """Ask who was needed, and whether it was at once with other work by hand."""
        choices = [Choice(k, KIND_WORDS[k].capitalize(), WHO[k], checked=k is stretch.kind) for k in Kind]
        if stretch.kind is Kind.HANDS_ON:
            now = "it was" if stretch.together else "it was not"
            choices.append(Choice(TOGETHER, "Both at once", now, checked=stretch.together))

        def take(key: str) -> None:
            if key == TOGETHER:
                wanted = not stretch.together
                said = "both at once" if wanted else "by itself"
                self._press(stretch, said, lambda turn: amend.share_hands(turn, stretch, together=wanted))
            else:
                kind = Kind(key)
                self._press(stretch, KIND_WORDS[kind], lambda turn: amend.use_kind(turn, stretch, kind))

        self._ask("Who was needed", choices, take)

    def ask_work(self, stretch: Interval) -> None:
        """Ask what it was for."""
        choices = [Choice(w, WORK_WORDS[w].capitalize(), checked=w is stretch.work) for w in Work]
        self._ask("What was it for", choices, lambda key: self._take_work(stretch, Work(key)))

    def ask_reason(self) -> None:
        """Ask for one line that goes with the changes from now on."""
        self._amending.stack.dialogs.text("Why is it changed", "", on_answer(self._take_reason))

    def drop_reason(self) -> None:
        """The changes from now on have none."""
        self._take_reason("")

    def _take_reason(self, text: str) -> None:
        self._amending.reason = text.strip()
        self._amending.stack.changed()

    def _take_batch(self, stretch: Interval, batch_id: int) -> None:
        self._amending.stack.record.bring_batch(batch_id)
        was = self._amending.floor.find(Step, stretch.step_id or 0)
        same = [s for s in order_of(self._amending.floor, batch_id).timed if s.stage_id == stretch.stage_id]
        named = [step for step in same if was is not None and step.name == was.name] or same
        if len(named) == 1:
            self._take_step(stretch, named[0])
        else:
            self._ask_steps(stretch, batch_id, "Which step was it there")

    def _ask_steps(self, stretch: Interval, batch_id: int, question: str) -> None:
        floor = self._amending.floor
        steps = order_of(floor, batch_id).timed
        choices = [Choice(str(s.id), s.name, checked=s.id == stretch.step_id) for s in steps]
        self._ask(question, choices, lambda key: self._take_step(stretch, floor.get(Step, int(key))))

    def _take_step(self, stretch: Interval, step: Step) -> None:
        said = self._amending.floor.get(Batch, step.batch_id).name
        what = step.name if step.batch_id == stretch.batch_id else f"{step.name}, {said}"
        self._press(stretch, what, lambda turn: amend.use_step(turn, stretch, step))

    def _take_work(self, stretch: Interval, work: Work) -> None:
        if work is not Work.REWORK:
            self._press(stretch, WORK_WORDS[work], lambda turn: amend.use_work(turn, stretch, work))
            return
        floor = self._amending.floor
        steps = order_of(floor, stretch.batch_id or 0).timed
        choices = [Choice(str(s.id), s.name, checked=s.id == stretch.cause_step_id) for s in steps]

        def take(key: str) -> None:
            cause = floor.get(Step, int(key))
            what = f"done again, {cause.name}"
            self._press(stretch, what, lambda turn: amend.use_work(turn, stretch, work, cause))

        self._ask("Which step made it necessary", choices, take)

    def _ask(self, question: str, choices: list[Choice], then: Callable[[str], object]) -> None:
        self._amending.stack.dialogs.ask(question, choices, on_answer(then))

    def _press(self, stretch: Interval, what: str, rule: Callable[[Turn], object]) -> None:
        name = name_of(self._amending.floor, stretch)
        self._amending.press(f"{name}: {what}", rule, since_us=stretch.start_us)
