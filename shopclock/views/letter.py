"""A piece's letter as it is drawn: plain Python, no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopclock.views.button import Key

WORDS = {"in": "in hand", "out": "out", "done": "through", "lost": "lost", "away": "waits", "aside": "aside"}
"""The states a letter can have, and the word under it."""

SPOKEN = {"out": "to go, not in hand"}
"""How a state is said where its word alone tells nothing."""


@dataclass(frozen=True, slots=True)
class Letter:
    """A piece: its letter, its state (a key of WORDS), its own word where the usual one is not right, its key.

    `offers`: for now it takes something back. `brief` stands under the letter where the word has no room.
    """

    letter: str
    state: str = "in"
    word: str | None = None
    key: Key = ""
    offers: bool = False
    brief: str = ""

    @property
    def spoken(self) -> str:
        """Letter and state, for a screen reader, and the word under it where that says more: C, through."""
        known = SPOKEN.get(self.state, WORDS[self.state])
        shown = self.shown
        said = shown if (shown and self.state != "done") or known in shown else ", ".join(filter(None, (known, shown)))
        return f"{self.letter}, {said or known}"

    @property
    def shown(self) -> str:
        """The word under the letter."""
        return WORDS[self.state] if self.word is None else self.word
