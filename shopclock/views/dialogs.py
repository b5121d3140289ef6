"""Questions to the maker. No Qt here: who asks gives the function that goes on with the answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Sequence

Then = Callable[[str | None], None]
"""What goes on with an answer; None when the maker went back without one."""

COUNT = ""
AMOUNT = "."
BELOW_ZERO = ".-"
MEASURED = "./-"
CLOCK = ":"
DAY = "-"
"""Which signs a number pad has beside its digits: 7, 61.5, -4.5, 3/32, 19:10 or 2026-03-07 is typed."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer: its key, what its button says, a quiet second line, its colour role."""

    key: str
    label: str
    detail: str = ""
    role: str = "plate"
    checked: bool = False


class Dialogs(Protocol):
    """Everything that asks the maker goes through one of these. Nothing waits: the answer comes to `then`."""

    def ask(self, question: str, choices: Sequence[Choice], then: Then) -> None:
        """Ask which of these it is."""

    def tell(self, sentence: str, then: Callable[[], None] | None = None) -> None:
        """Say one sentence, which is read and put away."""

    def text(self, question: str, start: str, then: Then) -> None:
        """A line of text, such as a name."""

    def number(
        self, question: str, start: str, then: Then, units: Sequence[str] = (), note: str = "", signs: str = AMOUNT
    ) -> None:
        """A figure from the number pad, as it was typed; where there are units, the chosen one stands behind it."""
