"""State of an alarm, ready to be drawn, and what makes one."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from shopclock.shop.values.clock import Moment
    from shopclock.views.button import Button, Press


class AlarmVerb(StrEnum):
    """Verb of a press on an alarm; behind it, what its number and its choice are that of."""

    CLOCK_NEW = "clock-new"  # question
    CLOCK_WHOLE = "clock-whole"  # question
    CLOCK_OLD = "clock-old"  # question
    CLOCK_SEEN = "clock-seen"  # question
    CLOCK_TYPED = "clock-typed"  # question
    WAIT_SEEN = "wait-seen"  # interval
    WAIT_OUT = "wait-out"  # interval
    WITHIN_SEEN = "within-seen"  # step
    WITHIN_START = "within-start"  # step
    STILL = "still"  # question
    STOPPED = "stopped"  # question, time
    STOPPED_TYPED = "stopped-typed"  # question
    OTHER = "other"  # question
    OTHER_STEP = "other-step"  # question, step
    OTHER_AT = "other-at"  # question, time
    OTHER_TYPED = "other-typed"  # question
    ENDED_SO = "ended-so"  # interval
    ENDED_NOW = "ended-now"  # interval
    ENDED_AT = "ended-at"  # interval, time
    ENDED_TYPED = "ended-typed"  # interval
    BACK = "alarm-back"  # question
    FILE_WRITE = "file-write"
    FILE_TYPED = "file-typed"
    FILE_AGAIN = "file-again"
    FILE_SEEN = "file-seen"


@dataclass(frozen=True, slots=True)
class AlarmState:
    """The sentence in large, what stands under it in some lines, the answers, times, and the Bench's own row.

    `figure`, the time that is left, is larger than all else. The first answer is what is to be done: it stands on the
    one plate that is filled, as wide as all others.
    `about` tells one alarm from the next; `maker_id` is who is asked, whose the Bench's row is then. `answers` and
    `times` are the likeliest first: what has no room is left out from their ends; the times that stay are shown in the
    order of the clock.
    """

    about: str
    role: str
    title: str
    figure: str = ""
    line: str = ""
    lines: int = 1
    answers: tuple[Button, ...] = ()
    heading: str = ""
    times: tuple[tuple[int, Button], ...] = ()
    back: Button | None = None
    bottom: tuple[Button, ...] = ()
    maker_id: int | None = None


class Alarm(Protocol):
    """Something that may need the whole screen."""

    def state(self, now_us: int) -> AlarmState | None:
        """State of it now, without the Bench's row; nothing while there is nothing to say."""

    def press(self, press: Press, moment: Moment | None) -> bool:
        """Do what one of its buttons says; tell whether the button was its own."""
