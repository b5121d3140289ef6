"""State of Today, ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopclock.views.button import Button


class TodayVerb(StrEnum):
    """Verb of a press on Today; behind it, what its number is."""

    HAVE = "have"  # minutes
    LESS = "less"
    MORE = "more"
    START = "start"  # step
    SPOILS = "spoils"  # step
    BENCH = "bench"  # batch
    TO_BATCHES = "to-batches"
    TO_ROUTES = "to-routes"
    OFFERED = "offered"  # place among what is offered
    WHO = "who"
    NOTHING_DONE = "nothing-done"
    UNTIMED = "untimed"
    DAYS_OFF = "days-off"


class Turn(StrEnum):
    """Column of tiles that shows its next page; the screen turns it by itself."""

    BANDS = "bands"
    READY = "ready"
    COOKING = "cooking"


@dataclass(frozen=True, slots=True)
class SpoilBand:
    """Work that spoils, and the button that starts what it needs."""

    title: str
    detail: str
    button: Button


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and its tiles; without tiles the heading is a sentence."""

    heading: str
    tiles: tuple[Button, ...] = ()


@dataclass(frozen=True, slots=True)
class QuietAsked:
    """Weeks without a timed minute, and the answers to what they were."""

    question: str
    answers: tuple[Button, ...]


@dataclass(frozen=True, slots=True)
class TodayState:
    """Everything on the screen.

    `way` is where to go from when there is nothing to do here, `undo` what Undo does, `offered` what can wait.
    """

    have: str
    times: tuple[Button, ...]
    bands: tuple[SpoilBand, ...]
    ready: tuple[Section, ...]
    cooking: Section | None
    way: Button | None
    undo: str
    offered: tuple[Button, ...] = ()
    quiet: QuietAsked | None = None
