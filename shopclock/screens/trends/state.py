"""What Trends shows, as plain values ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class View(StrEnum):
    """The ways to look at a stage, in the words of their buttons."""

    BATCHES = "batch by batch"
    DATES = "by date"
    TABLE = "as a table"


@dataclass(frozen=True, slots=True)
class StageTile:
    """A stage to choose: its name, what is usual there, the last batch and by which method."""

    key: str
    name: str
    usual: str
    last: str


@dataclass(frozen=True, slots=True)
class StagesState:
    """The stages to choose from, and one sentence; `to_bench` offers the way there while there is nothing to show."""

    sentence: str
    tiles: tuple[StageTile, ...]
    to_bench: bool


@dataclass(frozen=True, slots=True)
class Point:
    """A batch in the chart: `x` along the bottom, minutes per piece, hollow where it was left out."""

    key: str
    x: float
    minutes: float
    hollow: bool


@dataclass(frozen=True, slots=True)
class Usually:
    """The usual range as a band from `first_x` to `last_x`, over the batches it rests on."""

    first_x: float
    last_x: float
    low: float
    median: float
    high: float


@dataclass(frozen=True, slots=True)
class Line:
    """A method in the chart: its word, a note under it, colour role, shape, dashes, and its batches."""

    name: str
    note: str
    role: str
    shape: str
    dashed: bool
    points: tuple[Point, ...]
    usually: Usually | None


@dataclass(frozen=True, slots=True)
class ChartState:
    """A chart of minutes per piece: `unit` says what is counted, `ticks` what is written along the bottom."""

    unit: str
    lines: tuple[Line, ...]
    ticks: tuple[tuple[float, str], ...]
    first_x: float
    last_x: float


@dataclass(frozen=True, slots=True)
class Column:
    """The head of a column; figures stand at the right, what is `marked` has the colour of its method."""

    head: str
    figures: bool = False
    marked: bool = False


@dataclass(frozen=True, slots=True)
class TableRow:
    """A line of a table: one text a column, quiet where it was left out; `role` is the colour of its method."""

    cells: tuple[str, ...]
    role: str = "text"
    quiet: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """Columns and rows, newest batch first."""

    columns: tuple[Column, ...] = ()
    rows: tuple[TableRow, ...] = ()


@dataclass(frozen=True, slots=True)
class StageState:
    """The page of one stage: the sentence, a quiet line, the chart with its numbers, or the table.

    `chosen` is the key of the point that was pressed, `line` what it says.
    """

    sentence: str
    more: str
    view: View
    chart: ChartState | None
    beside: Table = field(default=Table())
    table: Table = field(default=Table())
    line: str = ""
    chosen: str = ""
