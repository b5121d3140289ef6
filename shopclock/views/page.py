"""One page of large buttons: what it says and what can be pressed on it. Plain Python, no Qt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from shopclock.shop.values.clock import Moment
from shopclock.views.button import Button
from shopclock.views.route_state import RouteState

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.bars_picture import BarsPicture, LinesPicture


Act = Callable[[Moment | None], None]
"""What a press does; the moment is when the finger came down."""


class Body(StrEnum):
    """How the middle of a page is laid out."""

    TILES = "tiles"
    SMALL = "small"
    PIECES = "pieces"
    ROUTES = "routes"
    TRIOS = "trios"
    DAY = "day"
    RULER = "ruler"
    KEY = "key"
    CHART = "chart"
    TEXT = "text"
    TABLE = "table"


RouteOutlineView = RouteState


@dataclass(frozen=True, slots=True)
class DayBarView:
    """A stretch on a day's line: its lane, its ends as shares of the line, its words, its colour role."""

    lane: int
    left: float
    right: float
    text: str
    role: str
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class DayView:
    """A day as a line: the names of its lanes, times along it, what was done."""

    lanes: tuple[str, ...]
    ticks: tuple[tuple[float, str], ...]
    bars: tuple[DayBarView, ...]
    spoken: str


@dataclass(frozen=True, slots=True)
class ChartView:
    """A chart of lines under each other, and a smaller one beside it where there is one."""

    main: BarsPicture | LinesPicture
    side: BarsPicture | None = None


@dataclass(frozen=True, slots=True)
class TextLine:
    """A line of text under the title; `role` is its colour."""

    text: str
    role: str = "quiet"


@dataclass(frozen=True, slots=True)
class Action:
    """A button and what pressing it does."""

    tile: Button
    act: Act


@dataclass(frozen=True, slots=True)
class PageState:
    """A page as it is to be drawn. `trail` numbers the pages from the first to this one."""

    trail: tuple[int, ...]
    title: str
    lines: tuple[TextLine, ...]
    tiles: tuple[Button, ...]
    actions: tuple[Button, ...]
    body: Body
    route: RouteOutlineView | None
    bar_mm: float | None
    bar_px: float | None
    undo: str
    day: DayView | None = None
    chart: ChartView | None = None
    text: str = ""
    rows: tuple[tuple[str, ...], ...] = ()


class Page:
    """What each page tells of itself. What it offers at this moment is what can be pressed."""

    body = Body.TILES

    def title(self) -> str:
        """The one sentence at the top."""
        raise NotImplementedError

    def lines(self) -> Sequence[TextLine]:
        """What is said under the title."""
        return ()

    def offers(self) -> Sequence[Action]:
        """The tiles in the middle."""
        return ()

    def actions(self) -> Sequence[Action]:
        """The buttons along the bottom, between Back and Undo."""
        return ()

    def route(self) -> RouteOutlineView | None:
        """The outline above the tiles, or nothing."""
        return None

    def day_line(self) -> DayView | None:
        """The line of a day above the tiles, or nothing."""
        return None

    def bar(self) -> tuple[float, float] | None:
        """A bar to be measured with a card: its millimetres and its pixels."""
        return None

    def chart(self) -> ChartView | None:
        """What the charts in the middle show, or nothing."""
        return None

    def text(self) -> str:
        """What is read in the middle, in Markdown."""
        return ""

    def rows(self) -> Sequence[tuple[str, ...]]:
        """The rows of a table, under the tiles that are its heads."""
        return ()

    def key_pressed(self, name: str) -> None:
        """A key was pressed while the page waits for one."""

    def gone(self) -> bool:
        """Tell whether what the page is about is no longer there (an Undo took it away)."""
        return False


def action(key: str, title: str, act: Act, **look: Any) -> Action:
    """A button with its title; `look` are the other fields of Button."""
    return Action(Button(title, key=key, **look), act)


def calling(do: Callable[[], object]) -> Act:
    """A press that needs no moment."""
    return lambda _moment: void(do())


def void(_result: object) -> None:
    """Take a result that nobody needs."""


def on_answer(do: Callable[[str], object]) -> Callable[[str | None], None]:
    """What goes on with an answer; going back without one does nothing."""
    return lambda answer: void(do(answer)) if answer is not None else None
