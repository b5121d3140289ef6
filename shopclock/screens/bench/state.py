"""What the Bench shows, ready to be drawn: texts, colour roles and the key of each press."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class BenchPage(StrEnum):
    """Which page of the Bench is in sight."""

    BENCH = "bench"
    ROUTE = "route"
    PIECES = "pieces"


class Mode(StrEnum):
    """What the plate is about."""

    RUNNING = "running"
    STOPPED = "stopped"
    READY = "ready"
    WAITING = "waiting"
    THROUGH = "through"
    EMPTY = "empty"


@dataclass(frozen=True, slots=True)
class BenchButton:
    """Something to press: `key` tells the presenter what, the rest how it is drawn."""

    key: str
    title: str
    detail: str = ""
    aside: str = ""
    note: str = ""
    role: str = "plate"
    enabled: bool = True
    checked: bool = False
    fraction: float | None = None
    detail_role: str = "quiet"
    tile: bool = False


@dataclass(frozen=True, slots=True)
class LetterShown:
    """A piece: its letter, its state (in, out, done, lost, away, aside) and the word under it."""

    letter: str
    state: str
    word: str


@dataclass(frozen=True, slots=True)
class RouteShown:
    """The route as an outline that fills; marks are texts at steps by their place."""

    outline: str = "bar"
    fills: tuple[float, ...] = ()
    marks: tuple[tuple[int, str], ...] = ()
    spoken: str = ""


@dataclass(frozen=True, slots=True)
class PlateState:
    """The plate: its colour role, what runs or stands there, and what can be pressed on it.

    `big` takes the clock's place where nothing has been started. `line` is the pace, or what has to
    be said now (`urgent`); `caution` a quiet line. `tools` are in the order in which they give way;
    of a plate with a clock the last one stays.
    """

    mode: Mode
    role: str
    title: str
    line: str = ""
    urgent: bool = False
    caution: str = ""
    share: float | None = None
    letters: tuple[LetterShown, ...] = ()
    pieces: BenchButton | None = None
    picks: tuple[BenchButton, ...] = ()
    tools: tuple[BenchButton, ...] = ()
    big: BenchButton | None = None


@dataclass(frozen=True, slots=True)
class SideState:
    """Beside the plate: waits, other running work and what is ready, and the way to the whole route."""

    heading: str
    tiles: tuple[BenchButton, ...]
    whole_route: BenchButton
    route: RouteShown


@dataclass(frozen=True, slots=True)
class RoutePage:
    """The page with every step of the batch in sight."""

    heading: str
    tiles: tuple[BenchButton, ...]
    both: BenchButton


@dataclass(frozen=True, slots=True)
class BenchState:
    """Everything on the Bench but the ticking clock."""

    page: BenchPage
    far: bool
    keep_awake: bool
    top: tuple[BenchButton, ...]
    plate: PlateState
    side: SideState | None
    bottom: tuple[BenchButton, ...]
    route_page: RoutePage | None
    far_line: str
    back: BenchButton
