"""What a chart shows, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Dot:
    """One mark; hollow where it doesn't count. `key` is what a press on it says."""

    key: str
    x: float
    y: float
    hollow: bool = False


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
class Picture:
    """A chart: its series, what is written along the bottom, where it begins and ends, which mark is chosen."""

    series: tuple[Series, ...]
    ticks: tuple[tuple[float, str], ...]
    first_x: float
    last_x: float
    chosen: str = ""
