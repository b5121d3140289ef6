"""A chart of bars, or of days as lines, as plain values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fill:
    """Filling of a part of a bar: colour role, and hatched or plain, so that it is told by shape too."""

    role: str
    hatch: str = ""


@dataclass(frozen=True, slots=True)
class BarRow:
    """A line of the chart: name, parts of its bar from the left, a range across it, its number and a word.

    `second` is another bar under the first, with a number of its own.
    """

    name: str
    parts: tuple[tuple[Fill, float], ...]
    number: str
    low: float | None = None
    high: float | None = None
    word: str = ""
    word_role: str = "text"
    second: tuple[tuple[Fill, float], ...] = ()
    second_number: str = ""


@dataclass(frozen=True, slots=True)
class BarsPicture:
    """A chart: its heading, what the fills mean (nothing stands for the range), its lines."""

    heading: str = ""
    legend: tuple[tuple[Fill | None, str], ...] = ()
    rows: tuple[BarRow, ...] = ()
    heads: tuple[str, str] = ("", "")

    @property
    def most(self) -> float:
        """The longest thing in it, at least a little."""
        ends = [0.0]
        for row in self.rows:
            ends += [sum(n for _, n in row.parts), sum(n for _, n in row.second), row.high or 0.0]
        return max(ends) or 1.0

    @property
    def spoken(self) -> str:
        """All of it in words."""
        lines = [(r.name, r.number, r.second_number, r.word) for r in self.rows]
        return "; ".join(" ".join(part for part in line if part) for line in lines)


@dataclass(frozen=True, slots=True)
class LineSpan:
    """A stretch on a time line: from and to as shares of the day, how it is drawn, its name, and a shorter one."""

    start: float
    end: float
    kind: str
    name: str = ""
    short: str = ""


@dataclass(frozen=True, slots=True)
class LineRow:
    """A day on the time line: its name, what ran, and its hours."""

    name: str
    spans: tuple[LineSpan, ...]
    number: str


@dataclass(frozen=True, slots=True)
class LinesPicture:
    """Days under each other; `ticks` are written along the top, as shares of the day. `named`: with room for names."""

    legend: tuple[tuple[str, str], ...] = ()
    ticks: tuple[tuple[float, str], ...] = ()
    rows: tuple[LineRow, ...] = ()
    named: bool = False

    @property
    def spoken(self) -> str:
        """All of it in words."""
        return "; ".join(f"{row.name} {row.number}" for row in self.rows)
