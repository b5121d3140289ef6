"""State of the Bench, ready to be drawn, and what a press on it can say."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from shopclock.views.button import Press
from shopclock.views.letter import Letter

if TYPE_CHECKING:
    from shopclock.views.button import Button


class Verb(StrEnum):
    """Verb of a press at the Bench; behind it, what its number is that of."""

    START = "start"  # step
    START_BOTH = "start-both"  # step
    OUT = "out"  # interval
    LOAD_IN = "load-in"  # step
    STOP = "stop"
    STOP_ALL = "stop-all"
    CARRY_ON = "carry-on"
    NEXT = "next"
    DONE = "done"
    THROUGH = "through"
    SHOP_WORK = "shop-work"
    LETTER = "letter"  # piece
    IN_OUT = "in-out"  # piece
    SLEEVE = "sleeve"
    ALL = "all"
    NONE = "none"
    OTHERS = "others"
    NOT_RIGHT = "not-right"
    READING = "reading"
    NOTE = "note"
    BATCH = "batch"  # batch
    BATCHES = "batches"
    SHOW = "show"  # step
    ROUTE_PAGE = "route-page"
    PIECES_PAGE = "pieces-page"
    BACK = "back"
    BOTH = "both"
    METHOD = "method"  # method
    METHODS = "methods"
    SET_UP = "set-up"
    ADJUST = "adjust"
    WARMTH = "warmth"  # interval
    UNDO = "undo"
    PUT_BACK = "put-back"
    TOOK_OUT = "took-out"
    SET_NOW = "set-now"
    OTHER_TOOL = "other-tool"
    IT_FITS = "it-fits"
    NOT_STARTED = "not-started"
    CLOSE = "close"  # batch
    TO_BATCHES = "to-batches"
    TO_ROUTES = "to-routes"
    WHO = "who"


class BenchPage(StrEnum):
    """Page of the Bench that is in sight."""

    BENCH = "bench"
    ROUTE = "route"
    PIECES = "pieces"
    LETTERS = "letters"


class Mode(StrEnum):
    """Modes of the plate."""

    RUNNING = "running"
    STOPPED = "stopped"
    READY = "ready"
    WAITING = "waiting"
    THROUGH = "through"
    EMPTY = "empty"


IN_STEAD = 1
"""The number of the way to the pieces that opens the letters, where these have no room on the plate."""


@dataclass(frozen=True, slots=True)
class PlateState:
    """The plate: its colour role, what runs or stands there, and what can be pressed on it.

    `big` takes the clock's place where nothing has been started. `line` is the pace, or what has to
    be said now (`urgent`); `caution` a quiet line. `tools` are in the order in which they give way;
    of a plate with a clock the last one stays. `choosing`: letters choose who goes in; else they mark who is through,
    and `in_hand` are those of the page that says who is in hand.
    """

    mode: Mode
    role: str
    title: str
    line: str = ""
    urgent: bool = False
    caution: str = ""
    share: float | None = None
    letters: tuple[Letter, ...] = ()
    in_hand: tuple[Letter, ...] = ()
    choosing: bool = False
    pieces: Button | None = None
    picks: tuple[Button, ...] = ()
    tools: tuple[Button, ...] = ()
    big: Button | None = None

    @property
    def shrunk(self) -> tuple[Letter, ...]:
        """The letters, with those as one that are through or lost: 8 done; who takes something back now stays."""
        gone = [one for one in self.letters if one.state in ("done", "lost") and not one.offers]
        if len(gone) < 2:
            return self.letters
        done = sum(one.state == "done" for one in gone)
        lost = f"{len(gone) - done} lost" if 0 < done < len(gone) else ""
        word = "lost" if not done else f"done, {lost}" if lost else "done"
        key = Press(Verb.PIECES_PAGE)
        one = Letter(str(done or len(gone)), "done" if done else "lost", word, key)
        return (*(letter for letter in self.letters if letter not in gone), one)


@dataclass(frozen=True, slots=True)
class SideState:
    """Beside the plate: waits, other running work and what is ready, and the way to the whole route.

    `corners` are what a tile's own corner starts in addition to what runs. While the record held something against
    a start, `asked`, the tiles are what may be true instead.
    """

    heading: str
    tiles: tuple[Button, ...]
    whole_route: Button
    corners: tuple[Button | None, ...] = ()
    asked: bool = False


@dataclass(frozen=True, slots=True)
class RoutePage:
    """The page with every step of the batch in sight."""

    heading: str
    tiles: tuple[Button, ...]
    both: Button


@dataclass(frozen=True, slots=True)
class BenchState:
    """Everything on the Bench but the ticking clock.

    From afar: the stage, its batch and how many are through, who is where, what runs beside it.
    """

    page: BenchPage
    far: bool
    top: tuple[Button, ...]
    plate: PlateState
    side: SideState | None
    bottom: tuple[Button, ...]
    route_page: RoutePage | None
    far_name: str
    far_batch: str
    far_line: str
    far_beside: str
    back: Button
