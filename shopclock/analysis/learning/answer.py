"""Parts of all answers: a range, or the reason why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Range:
    """Range from `low` to `high`, in the unit of the figure that it belongs to."""

    low: float
    high: float

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high


class NoAnswerReason(StrEnum):
    """Reason for no answer. `{batches}` is the shop's own word, `{n}` how many count, `{of}` how many it takes."""

    FEW = "not enough {batches} yet ({n} of {of})"
    UNSETTLED = "no curve settles on these {n} {batches}"
    ONE_PLACE = "these {n} {batches} tell nothing about change: they all stand at one place"
    ONE_SIZE = "the {batches} are too much of one size to tell set-up from run"
    NO_TIME = "these {n} {batches} took no time"
    NOT_FROM_THE_FIRST = "only for a count that was timed from the first on"
    NOT_BOTH = "no pattern has been made by both methods in enough {batches} ({n} of {of})"


@dataclass(frozen=True, slots=True)
class NoAnswer:
    """Said instead of a figure; `n` of the `of` batches that it takes are there."""

    why: NoAnswerReason
    n: int
    of: int = 0

    def text(self, batches: str = "batches") -> str:
        """Say why, in the shop's own word for batches."""
        return self.why.format(batches=batches, n=self.n, of=self.of)
