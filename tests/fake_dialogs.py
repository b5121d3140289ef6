"""Dialogs that answer by themselves: for tests and for drawing screens."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shopclock.views.dialogs import AMOUNT

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.views.dialogs import Choice, Then


@dataclass(frozen=True, slots=True)
class AskedQuestion:
    """A question as it was put: "ask", "tell", "text" or "number", its words, its choices or what it started with."""

    kind: str
    words: str
    choices: tuple[Choice, ...] = ()
    start: str = ""
    units: tuple[str, ...] = ()
    note: str = ""
    signs: str = ""


@dataclass(slots=True)
class FakeDialogs:
    """Records each question and answers it with the next of `answers`; with none left, nobody answers."""

    answers: list[str | None] = field(default_factory=list)
    asked: list[AskedQuestion] = field(default_factory=list)

    def ask(self, question: str, choices: Sequence[Choice], then: Then) -> None:
        """Answer with a key; one that was not offered is a mistake of the test."""
        self.asked.append(AskedQuestion("ask", question, tuple(choices)))
        offered = {choice.key for choice in choices} | {None}
        if self.answers and self.answers[0] not in offered:
            raise ValueError(f"{self.answers[0]!r} is not one of {sorted(map(str, offered))}")
        self._answer(then)

    def tell(self, sentence: str, then: Callable[[], None] | None = None) -> None:
        """Take note, and go on."""
        self.asked.append(AskedQuestion("tell", sentence))
        if then:
            then()

    def text(self, question: str, start: str, then: Then) -> None:
        """Answer with a text."""
        self.asked.append(AskedQuestion("text", question, start=start))
        self._answer(then)

    def number(
        self, question: str, start: str, then: Then, units: Sequence[str] = (), note: str = "", signs: str = AMOUNT
    ) -> None:
        """Answer with a figure."""
        self.asked.append(AskedQuestion("number", question, (), start, tuple(units), note, signs))
        self._answer(then)

    def _answer(self, then: Then) -> None:
        if self.answers:
            then(self.answers.pop(0))
