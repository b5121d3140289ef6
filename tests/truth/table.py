"""The table of what was tried: measured on simulated shops, with its Monte-Carlo error, beside what is wanted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tests.truth import groups, series
from tests.truth.series import Noise

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tests.truth.groups import Try


@dataclass(frozen=True)
class Line:
    """A line of the table: a figure of a group. `least` to `most` is wanted, in percent (of `times`: as it is)."""

    what: str
    key: str
    least: float = 0.0
    most: float = 100.0
    times: bool = False


@dataclass(frozen=True)
class Group:
    """Lines that the same shops give; `share` of the number of shops that is asked for."""

    try_it: Try
    lines: tuple[Line, ...]
    share: float = 1.0


LIKELY, WITHIN = "8 times in 10", "from to"
ALIKE = Noise(alike=0.5)


def _behind(n: int) -> Group:
    lines = [Line(f"hours held, told 8 times in 10, {n} behind", LIKELY, 75, 94)] if n < 4 else []
    lines.append(Line(f"hours within from-to (10 to 90 %), {n} behind", WITHIN, 76, 94))
    if n == 2:
        lines.append(Line("median error of the hours, 2 behind", "error", 0, 10))
    return Group(groups.behind(n), tuple(lines), 3)


GROUPS = (
    *(_behind(n) for n in (0, 1, 2, 3, 4, 8)),
    Group(groups.luck(2), (Line("median error if all but the luck of the batch were known, 2 behind", "error"),), 3),
    Group(
        groups.behind(2, maker=2.0), (Line("maker twice as slow as the route, 2 behind: 8 times in 10", LIKELY, 78),)
    ),
    Group(
        groups.second_pattern,
        (
            Line("first batch of a second pattern after 12 of another: from-to", WITHIN, 76, 94),
            Line("width of that, high over low", "width", 0, 1.7, times=True),
        ),
    ),
    Group(groups.three_open, (Line("three open batches together, 8 behind: from-to", WITHIN, 76, 88),)),
    Group(groups.behind(12, flat_from=40.0), (Line("all flat after piece 40, 12 behind: from-to", WITHIN, 70),)),
    Group(
        groups.after_a_gap,
        (
            Line("batch after half a year's gap: from-to", WITHIN, 76),
            Line("batch after half a year's gap: 8 times in 10", LIKELY, 70),
        ),
    ),
    Group(groups.dates("runs", 12), (Line("dates 8 times in 10, weeks alike in runs", LIKELY, 76),), 4),
    Group(groups.dates("spells", 12), (Line("dates 8 times in 10, good and bad spells", LIKELY, 70),), 4),
    Group(groups.dates("runs", 4), (Line("dates 8 times in 10, only 4 weeks known", LIKELY, 74),), 4),
    Group(
        groups.said(12, series.flat, stages=15),
        (
            Line("flat stage called faster in any way, independent batches", "improved", 0, 3),
            Line("a word of improvement in a table of 15 flat stages", "table", 0, 5),
        ),
    ),
    Group(
        groups.said(12, series.flat, ALIKE, 15),
        (
            Line("flat stage called faster in any way, neighbours alike (.5)", "improved", 0, 5),
            Line("a word of improvement in a table of 15, neighbours alike", "table", 0, 8),
        ),
    ),
    Group(
        groups.said(8, series.slow_start),
        (
            Line("one slow first batch, then flat: called faster or shape open", "faster or open", 0, 6),
            Line("one slow first batch, then flat: called ended", "ENDED", 0, 6),
        ),
    ),
    Group(groups.said(6, series.at_rate(0.88)), (Line("learning at 88 % told, 6 batches", "improved", 32),)),
    Group(
        groups.said(12, series.at_rate(0.88)),
        (
            Line("learning at 88 % told, 12 batches", "improved", 65),
            Line("learning at 88 %, 12 batches: rests on one batch", "ONE_BATCH"),
            Line("no longer, said of who goes on learning, 12 batches", "ENDED", 0, 6),
            Line("a step told of a true curve, 12 batches", "STEP", 0, 8),
        ),
    ),
    Group(
        groups.said(20, series.at_rate(0.88)),
        (
            Line("no longer, said of who goes on learning, 20 batches", "ENDED", 0, 6),
            Line("a step told of a true curve, 20 batches", "STEP", 0, 8),
        ),
    ),
    Group(
        groups.said(20, series.until_batch(8, 0.80)),
        (
            Line("learning ended at batch 8: still getting faster at 20", "FASTER", 0, 40),
            Line("learning ended at batch 8: no longer, said at 20", "ENDED", 25),
            Line("learning ended at batch 8: shape open at 20", "OPEN"),
        ),
    ),
    Group(
        groups.said(12, series.new_grinder),
        (
            Line("a new grinder told as each time the count doubles, 12 batches", "FASTER", 0, 15),
            Line("a new grinder told as a step, 12 batches", "STEP"),
        ),
    ),
    Group(
        groups.said(20, series.new_grinder),
        (
            Line("a new grinder told as each time the count doubles, 20 batches", "FASTER", 0, 15),
            Line("a new grinder told as a step, 20 batches", "STEP"),
        ),
    ),
    Group(groups.wild(5), (Line("a batch of four times told, 5 batches", "told", 90),)),
    Group(groups.wild(7), (Line("a batch of four times told, 7 batches", "told", 90),)),
    Group(groups.wild(5, first=True), (Line("the first of five told", "told", 70),)),
    Group(groups.wild(7, patterns=2), (Line("a batch of four times told, 7 batches of two patterns", "told"),)),
    Group(groups.wild(12, wide=False), (Line("false alarms a chart, normal noise, 12 batches", "false", 0, 6),)),
    Group(groups.freehand_slower, (Line("15 % slower freehand called about as long", "as long", 0, 5),)),
    Group(groups.flat_by_date, (Line("flat called a trend by date, changing mix", "trend", 0, 5),)),
    Group(
        groups.alone,
        (
            Line("one stage alone: rate within its 95 % interval", "rate", 92, 98),
            Line("one stage alone: fitted set-up within its 95 % range", "setup", 92, 98),
        ),
    ),
    Group(groups.crossing, (Line("crossing within its 95 % range", "crossing", 90),)),
)


@dataclass(frozen=True)
class Measured:
    """A line as it was measured: percent (or as it is), its Monte-Carlo error, and in how many shops."""

    line: Line
    value: float
    error: float
    shops: int

    @property
    def holds(self) -> bool:
        """It lies where it is wanted."""
        return self.line.least <= self.value <= self.line.most

    def text(self) -> str:
        """One line of the table, in Markdown."""
        unit = "" if self.line.times else " %"
        sign = "×" if self.line.times else ""
        low, high = self.line.least, self.line.most
        if low <= 0 and high >= 100:
            wanted = "–"
        elif low <= 0:
            wanted = f"≤ {sign}{high:g}{unit}"
        else:
            wanted = f"{low:g} to {high:g}{unit}" if high < 100 else f"≥ {low:g}{unit}"
        digits = 2 if self.line.times else 1
        told = f"{sign}{self.value:.{digits}f} ± {self.error:.{digits}f}{unit}"
        return f"| {self.line.what} | {told} | {wanted} | {'' if self.holds else 'misses'} |"


def measured(group: Group, shops: int) -> Iterator[Measured]:
    """Try a group on so many shops and yield its lines."""
    n = max(1, round(shops * group.share))
    found = [group.try_it(seed) for seed in range(n)]
    for line in group.lines:
        yield _measured(line, [_values(one, line.key) for one in found])


def _values(found: dict[str, list[float]], key: str) -> list[float]:
    if key == "faster or open":
        return [a + b for a, b in zip(found["FASTER"], found["OPEN"], strict=True)]
    return found[key]


def _measured(line: Line, shops: list[list[float]]) -> Measured:
    """Return a share with the error that shops leave it, or a median with that of a median."""
    known = [np.mean(one) for one in shops if one]
    if line.key in ("error", "width"):
        factor = 1.0 if line.times else 100.0
        error = 1.253 * np.std(known) / np.sqrt(len(known))
        return Measured(line, factor * float(np.median(known)), factor * float(error), len(known))
    return Measured(line, 100 * float(np.mean(known)), 100 * float(np.std(known) / np.sqrt(len(known))), len(known))


def table(shops: int) -> Iterator[Measured]:
    """Measure all lines."""
    for group in GROUPS:
        yield from measured(group, shops)
