"""The few closed lists of words that the record is written in."""

from enum import StrEnum


class Kind(StrEnum):
    """Kind of an interval: who is needed while it runs."""

    HANDS_ON = "hands-on"
    WATCH = "watch"
    WAIT = "wait"
    AWAY = "away"

    @property
    def attended(self) -> bool:
        """True when a person is needed: a hand on the work, or somebody staying by it."""
        return self in (Kind.HANDS_ON, Kind.WATCH)


class WorkKind(StrEnum):
    """Kind of work that a minute was for. Set-up is what one more piece would not add to."""

    RUN = "run"
    SETUP = "set-up"
    REWORK = "rework"


class Certainty(StrEnum):
    """Certainty of an instant, from best to worst."""

    PRESSED = "pressed"
    AMENDED = "amended"
    ESTIMATED = "estimated"


def worse(one: Certainty, other: Certainty) -> Certainty:
    """Return the less certain of two ends, which is what their interval is worth."""
    return max(one, other, key=_HOW_SURE.__getitem__)


_HOW_SURE = {sure: place for place, sure in enumerate(Certainty)}


class Outcome(StrEnum):
    """Outcome of a piece."""

    FINISHED = "finished"
    SECOND = "second"
    CUT_DOWN = "cut down"
    KEPT = "kept"
    SCRAPPED = "scrapped"

    @property
    def finished(self) -> bool:
        """True for pieces that can be sold: seconds are finished too."""
        return self in (Outcome.FINISHED, Outcome.SECOND)


class StepState(StrEnum):
    """State of a step in a batch."""

    TIMED = "timed"
    SKIPPED = "skipped"
    NOT_TIMED = "not timed"


class MarkedBy(StrEnum):
    """By which press a piece got through a step. Only DONE marks a stretch of its own.

    BEFORE: it was through before its batch was begun in the record, or worked without being timed. SKIPPED: it went on
    without it.
    """

    DONE = "done"
    NEXT = "next"
    ALL = "all through"
    BEFORE = "before timing"
    SKIPPED = "skipped"


class RuleKind(StrEnum):
    """Kind of order rule between two steps."""

    BEFORE = "before"
    WITHIN = "within"
    AT_LEAST = "at least"


class QuestionReason(StrEnum):
    """Reason why the maker is asked, or told, on the whole screen."""

    STILL = "still at it"
    POWER = "power cut"
    SLEPT = "slept"
    SET = "clock set"
    BEHIND = "clock behind"
    OVER = "wait over"
