"""A chart of dots and lines, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Dot:
    """One mark; hollow where it doesn't count, outlined where it is to be noticed.

    `key` is what a press on it says, `text` is written beside it.
    """

    key: str
    x: float
    y: float
    hollow: bool = False
    text: str = ""
    outlined: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """A range along the chart and the line in its middle; each has one value for each of `xs`."""

    xs: tuple[float, ...]
    lows: tuple[float, ...]
    middles: tuple[float, ...]
    highs: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Series:
    """Marks of one kind: told apart by colour role, shape ("o", "s", "t1", "d", "x"), dashes, and its words."""

    name: str
    note: str
    role: str
    shape: str
    dashed: bool
    dots: tuple[Dot, ...]
    band: Band | None = None


@dataclass(frozen=True, slots=True)
class Upright:
    """A line from bottom to top where something happened, and its words."""

    x: float
    text: str


@dataclass(frozen=True, slots=True)
class Ahead:
    """A mark yet to come: where it is expected, and the range that it is expected in."""

    x: float
    y: float
    low: float
    high: float
    text: str


@dataclass(frozen=True, slots=True)
class Picture:
    """A chart: its series, what is written along the bottom, where it begins and ends, which mark is chosen.

    `ticks` none: figures are written along the bottom. `unit` says what is counted upward, `below` what to the right.
    `low`: where the scale begins; `percent`: it counts hundredths.
    """

    series: tuple[Series, ...]
    ticks: tuple[tuple[float, str], ...] | None
    first_x: float
    last_x: float
    chosen: str = ""
    unit: str = ""
    below: str = ""
    uprights: tuple[Upright, ...] = ()
    ahead: Ahead | None = None
    low: float = 0.0
    percent: bool = False
