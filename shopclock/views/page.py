"""One page of large buttons: what it says and what can be pressed on it. Plain Python, no Qt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import TYPE_CHECKING, TypedDict

from shopclock.shop.values.clock import Moment
from shopclock.views.button import Button

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Unpack

    from shopclock.views.bars_picture import BarsPicture, LinesPicture
    from shopclock.views.dots_picture import DotsPicture
    from shopclock.views.route_state import RouteState
    from shopclock.views.rule_picture import RulePicture


Act = Callable[[Moment | None], object]
"""What a press does; the moment is when the finger came down. A page that it gives is opened; questions are asked."""


class Body(StrEnum):
    """Layout of a page's middle."""

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
    RULE = "rule"
    RULED = "ruled"


@dataclass(frozen=True, slots=True)
class DayBarView:
    """A stretch on a day's line: its lane, its ends as shares of the line, its words, its colour role.

    `guessed` draws a broken outline: an end that nobody pressed or chose.
    """

    lane: int
    left: float
    right: float
    text: str
    role: str
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class DayView:
    """A day as a line: the names of its lanes, times along it as (share, text), what was done."""

    lanes: tuple[str, ...] = ()
    ticks: tuple[tuple[float, str], ...] = ()
    bars: tuple[DayBarView, ...] = ()
    spoken: str = ""


@dataclass(frozen=True, slots=True)
class ChartView:
    """A chart of lines under each other, and a smaller one beside it where there is one."""

    main: BarsPicture | LinesPicture | DotsPicture
    side: BarsPicture | None = None


@dataclass(frozen=True, slots=True)
class TextLine:
    """A line of text under the title; `role` is its colour."""

    text: str
    role: str = "quiet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Action(Button):
    """A button and what pressing it does."""

    act: Act = field(compare=False)


@dataclass(frozen=True, slots=True)
class PageContent:
    """Content of a page at this moment: title, lines (a plain str is a quiet one), what can be pressed on it.

    `tiles` are in the middle, `actions` along the bottom, between Back and Undo. Where there are: a `route` or a `day`
    above the tiles, `rules` above them (where the tiles have rules themselves: the one scale of all), a bar to be
    measured with a card, charts, Markdown to be read, the rows of a table under the tiles. `room` is kept for so many
    lines under the title, so that an answer that comes later moves nothing.
    """

    title: str
    lines: Sequence[TextLine | str] = ()
    tiles: Sequence[Action] = ()
    actions: Sequence[Action] = ()
    body: Body = Body.TILES
    route: RouteState | None = None
    day: DayView | None = None
    bar_px: float | None = None
    chart: ChartView | None = None
    text: str = ""
    rows: Sequence[tuple[str, ...]] = ()
    rules: Sequence[RulePicture] = ()
    room: int = 0


@dataclass(frozen=True, slots=True)
class PageState(PageContent):
    """A page as it is to be drawn. `trail` numbers the pages from the first to this one.

    `undo` and `put_back` are what they would do, empty where they have nothing to.
    """

    lines: Sequence[TextLine] = ()
    trail: tuple[int, ...] = ()
    undo: str = ""
    put_back: str = ""


class Page:
    """One page: what it has at this moment is what is shown and what can be pressed."""

    def content(self) -> PageContent | None:
        """Content as it is now; nothing where what it is about is no longer there (an Undo took it away)."""
        raise NotImplementedError

    def key_pressed(self, name: str) -> None:
        """A key was pressed while the page waits for one."""


class Look(TypedDict, total=False):
    """Fields of a button beside its title and its detail."""

    figure: str
    aside: str
    note: str
    note_role: str
    role: str
    why_not: str
    checked: bool
    route: RouteState | None
    rule: RulePicture | None
    fraction: float | None
    figure_role: str


def action(key: str, title: str, act: Act, detail: str = "", **look: Unpack[Look]) -> Action:
    """A button, and what a press on it does at the moment when the finger came down."""
    return Action(title, detail, key=key, act=act, **look)


def item(key: str, title: str, press: Callable[[], object], detail: str = "", **look: Unpack[Look]) -> Action:
    """A button whose press needs no moment: mostly one thing of a list, which opens its page."""
    return Action(title, detail, key=key, act=lambda _moment: press(), **look)


def nothing_yet(title: str, how_far: str, first: Action, actions: Sequence[Action] = ()) -> PageContent:
    """Return a page with nothing on it yet: what will stand here, how far it is, one large button to what comes first.

    Every page without content is one of these.
    """
    return PageContent(title, [how_far], [replace(first, role="primary")], actions, Body.SMALL)


def void(_result: object) -> None:
    """Take a result that nobody needs."""
