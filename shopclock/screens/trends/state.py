"""States of Trends: plain values ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shopclock.views.chart_picture import Picture


class View(StrEnum):
    """The ways to look at a stage."""

    COUNT = "count"
    DATES = "dates"
    AFTER = "after"
    SIZES = "sizes"
    TABLE = "table"
    HOW = "how"


@dataclass(frozen=True, slots=True)
class TrendChoice:
    """Choices of the maker: nothing chosen is the newest pattern, and the method worked last.

    `own_counts`: each method on its own count; `average`: the running average in place of the pieces; `key` the mark
    that was pressed.
    """

    view: View = View.COUNT
    pattern_id: int | None = None
    method: int | None = None
    own_counts: bool = True
    average: bool = False
    key: str = ""


@dataclass(frozen=True, slots=True)
class TableColumn:
    """The head of a column; figures stand at the right, what is `marked` has the colour of its method."""

    head: str
    figures: bool = False
    marked: bool = False


@dataclass(frozen=True, slots=True)
class TableRow:
    """A line of a table: one text a column, quiet where it was left out; `role` is the colour of what is marked.

    `key`: the stage that a press on the line opens. `told`: the sentence names it.
    """

    cells: tuple[str, ...]
    role: str = "text"
    quiet: bool = False
    key: str = ""
    told: bool = False


@dataclass(frozen=True, slots=True)
class StagesState:
    """All stages in one table, and the sentence that it proves.

    `whole` offers the whole piece; `most` is the line that the sentence names, where it isn't the first; `to_bench`
    offers the way there, while there is nothing to show.
    """

    sentence: str
    more: str = ""
    columns: tuple[TableColumn, ...] = ()
    lines: tuple[TableRow, ...] = ()
    whole: str = ""
    most: TableRow | None = None
    to_bench: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Columns and rows, newest batch first."""

    columns: tuple[TableColumn, ...] = ()
    rows: tuple[TableRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing about how an answer was worked out: what it is about, and the words."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class StageState:
    """The page of one stage: the sentence, a quiet line, the views, and one of picture, table and facts.

    `views` and `options` are buttons: which view, or which key, and what it says. `line` is what the pressed mark says,
    else how to press one; `review` offers the batch of that mark. Without any of the three there is only `line`: it is
    being worked out, or there is nothing to draw.
    """

    sentence: str
    more: str
    view: View = View.COUNT
    views: tuple[tuple[View, str], ...] = ()
    picture: Picture | None = None
    table: Table | None = None
    facts: tuple[Fact, ...] = ()
    line: str = ""
    review: str = ""
    options: tuple[tuple[str, str], ...] = ()
