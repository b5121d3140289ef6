"""A chart of bars, or of days as lines, as plain values."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING

from shopclock.shop.review.sentences import LANES
from shopclock.shop.values.kinds import Kind

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

ATTENDED = frozenset(LANES[kind] for kind in Kind if kind.attended)
"""How what needs somebody is drawn on a time line."""


@dataclass(frozen=True, slots=True)
class Fill:
    """Filling of a part of a bar: colour role, and hatched or plain, so that it is told by shape too."""

    role: str
    hatch: str = ""


@dataclass(frozen=True, slots=True)
class BarRow:
    """A line of the chart: name, parts of its bar from the left, a range across it, its number and a word.

    `second` is another bar under the first, with a number of its own. `told`: the sentence names it.
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
    told: bool = False

    @property
    def spoken(self) -> str:
        """All of it in words."""
        return " ".join(part for part in (self.name, self.number, self.second_number, self.word) if part)


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
        return "; ".join(row.spoken for row in self.rows)


@dataclass(frozen=True, slots=True)
class LineSpan:
    """A stretch on a time line: from and to as shares of the day, how it is drawn, its names from long to short."""

    start: float
    end: float
    kind: str
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LineRow:
    """A day on the time line: its name, what ran, and its hours."""

    name: str
    spans: tuple[LineSpan, ...]
    number: str

    @property
    def spoken(self) -> str:
        """Day and hours, and the names of what ran."""
        names = ", ".join(dict.fromkeys(span.names[0] for span in self.spans if span.names))
        return f"{self.name} {self.number}" + (f": {names}" if names else "")


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


def named_beside(spans: Sequence[LineSpan], fits: Callable[[str, float], bool], place: int = 0) -> str:
    """Return the whole names of what somebody does that have no room in their bars, in their order.

    `fits` says of a name and a share of the line whether it has room there; `place` takes a shorter name of each. A
    batch is named once for all its steps that follow each other.
    """
    told: list[str] = []
    before = ""
    for span in sorted((one for one in spans if one.kind in ATTENDED and one.names), key=lambda one: one.start):
        if fits(span.names[0], span.end - span.start):
            continue
        batch = span.names[-2].removesuffix(span.names[-1]) if len(span.names) > 1 else ""
        name = span.names[min(place, max(0, len(span.names) - 2))]
        said = name.removeprefix(batch) if batch and batch == before else name
        before = batch
        if not told or told[-1].removeprefix(batch) != said.removeprefix(batch):
            told.append(said)
    return "; ".join(told)


def widest_gap(spans: Sequence[LineSpan]) -> tuple[float, float]:
    """Return from where to where a line has nothing on it for longest, as shares of it."""
    at, gaps = 0.0, []
    for span in sorted(spans, key=lambda one: one.start):
        gaps.append((at, max(at, span.start)))
        at = max(at, span.end)
    return max([*gaps, (at, 1.0)], key=lambda gap: gap[1] - gap[0])


def day_lines(days: Sequence[LineRow], *, named: bool = False) -> LinesPicture:
    """Days under each other whose spans are told in hours of the clock (24 is midnight).

    The line goes over the whole hours between which somebody is needed: a wait goes on beyond them.
    """
    needed = [span for day in days for span in day.spans if span.kind in ATTENDED]
    first = min((int(span.start) for span in needed), default=0)
    last = max(first + 1, max((ceil(span.end) for span in needed), default=24))

    def share(hour: float) -> float:
        return (min(max(hour, first), last) - first) / (last - first)

    rows = [
        replace(day, spans=tuple(replace(s, start=share(s.start), end=share(s.end)) for s in day.spans)) for day in days
    ]
    shown = tuple(replace(row, spans=tuple(span for span in row.spans if span.end > span.start)) for row in rows)
    kinds = {span.kind for day in days for span in day.spans}
    ticks = tuple((share(hour), f"{hour}:00") for hour in range(first, last + 1, 1 if last - first <= 12 else 2))
    return LinesPicture(tuple((kind, kind) for kind in LANES.values() if kind in kinds), ticks, shown, named)
