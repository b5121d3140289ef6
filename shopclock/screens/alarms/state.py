"""What an alarm shows, ready to be drawn, and what makes one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from shopclock.screens.bench.state import BenchButton
    from shopclock.shop.values.clock import Moment


@dataclass(frozen=True, slots=True)
class AlarmState:
    """The sentence in large, a line under it, the answers, times to choose from, and the Bench's own row.

    `about` tells one alarm from the next. `answers` and `times` are the likeliest first: what has no room
    is left out from their ends; the times that stay are shown in the order of the clock.
    """

    about: str
    role: str
    title: str
    line: str = ""
    answers: tuple[BenchButton, ...] = ()
    heading: str = ""
    times: tuple[tuple[int, BenchButton], ...] = ()
    back: BenchButton | None = None
    bottom: tuple[BenchButton, ...] = ()


class Alarm(Protocol):
    """Something that may need the whole screen."""

    def state(self, now_us: int) -> AlarmState | None:
        """What it shows now, without the Bench's row; nothing while there is nothing to say."""

    def press(self, verb: str, argument: str, moment: Moment | None) -> bool:
        """Do what one of its buttons says; tell whether the button was its own."""
