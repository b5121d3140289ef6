"""Is it getting faster? Unit theory on batches taken as lots: which lots go in, the fit, its line and its ranges."""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass
from enum import StrEnum
from itertools import accumulate
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.stage_trend import setup_mixed
from shopclock.analysis.model.midpoints import LotSums
from shopclock.shop.figures.trend_rows import LeftOut

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.stage_trend import Lot

    Floats = npt.NDArray[np.float64]


def from_log(log: float) -> float:
    """Return e^log, at most e^700: absurd batches give an absurd figure, never an error or infinity."""
    return math.exp(min(log, 700.0))


def rate_of(b: float) -> float:
    """Share of the minutes that remains when the count doubles, for the b of T1 · n^b: 2^b, 0.85 for −0.234."""
    return from_log(b * math.log(2))


class Unfit(StrEnum):
    """Reason for which a batch that counts stays out of a fit all the same."""

    NO_TIME = "no time"
    OTHER_PATTERN = "not a pattern of both methods"


class BatchSizes(StrEnum):
    """Change of the batches' size between the first and the last third, where it can pass for skill."""

    ALIKE = "alike"
    GREW = "grew"
    SHRANK = "shrank"


Out = tuple[tuple[LeftOut | Unfit, int], ...]
"""Number of batches left out, by reason."""


@dataclass(frozen=True, slots=True)
class FitInput:
    """The lots of a fit by first start, and what each took: minutes per piece.

    `with_setup`: some batches pressed their set-up and others have it inside run, so all stand with it. Run alone
    would call it skill when a maker begins to press set-up.
    """

    lots: tuple[Lot, ...]
    minutes: tuple[float, ...]
    with_setup: bool
    left_out: Out

    @property
    def patterns(self) -> tuple[int, ...]:
        """The patterns, by first batch."""
        return tuple(dict.fromkeys(lot.pattern_id for lot in self.lots))

    @property
    def needed(self) -> int:
        """Number of batches that a rate takes: four, and two more than patterns."""
        return max(4, len(self.patterns) + 2)

    @property
    def sizes(self) -> BatchSizes:
        """Change of the batches by more than 1.5 times in size while set-up was inside run; else they are alike."""
        third = max(1, len(self.lots) // 3)
        first, last = self.lots[:third], self.lots[-third:]
        if not self.lots or (all(lot.setup_us for lot in first + last) and not self.with_setup):
            return BatchSizes.ALIKE
        ratio = sum(lot.pieces for lot in last) / sum(lot.pieces for lot in first)
        return BatchSizes.GREW if ratio > 1.5 else BatchSizes.SHRANK if ratio < 1 / 1.5 else BatchSizes.ALIKE


def fit_input(
    lots: Sequence[Lot], patterns: Collection[int] | None = None, *, with_setup: bool | None = None
) -> FitInput:
    """Sort out the lots of one method: those that count and have taken time.

    Of `patterns` alone where they are given. `with_setup`: whether set-up stands with run, where that is settled by
    more than these lots (the methods of a stage are compared on one footing); otherwise by these.
    """
    reasons = [_why_not(lot, patterns) for lot in lots]
    used = [lot for lot, reason in zip(lots, reasons, strict=True) if reason is None]
    used.sort(key=lambda lot: lot.number)
    mixes = setup_mixed(used) if with_setup is None else with_setup
    out = tuple((reason, reasons.count(reason)) for reason in (*LeftOut, *Unfit) if reason in reasons)
    return FitInput(tuple(used), tuple(lot_minutes(lot, with_setup=mixes) for lot in used), mixes, out)


def _why_not(lot: Lot, patterns: Collection[int] | None) -> LeftOut | Unfit | None:
    if lot.left_out is not None:
        return lot.left_out
    if lot.minutes <= 0:
        return Unfit.NO_TIME
    return Unfit.OTHER_PATTERN if patterns is not None and lot.pattern_id not in patterns else None


def lot_minutes(lot: Lot, *, with_setup: bool) -> float:
    """Return minutes per piece: run, or run and set-up."""
    return lot.minutes + (lot.setup_us / lot.pieces / 60e6 if with_setup else 0.0)


ROUNDS = 50
SETTLED = 1e-12


Group = Hashable


@dataclass(frozen=True, slots=True)
class Level:
    """A group in the line: how many values it has, and their means; `at` is where it stands at x = 0."""

    n: int
    mean_x: float
    at: float


@dataclass(frozen=True, slots=True)
class FittedLine:
    """y = level of its group + slope · x.

    `spread` is the standard deviation of the residuals with `df` = values − groups − 1, `sum_xx` the sum of squares
    of x about the mean of its group. Ranges are Student's t; `t` has it for the shares that are asked for again and
    again, so that a line from another process can be read without SciPy. In the units of x and y.
    Source: any text on regression with dummy variables; held to NIST StRD Norris by the tests.
    """

    slope: float
    slope_se: float
    spread: float
    df: int
    sum_xx: float
    levels: Mapping[Group, Level]
    t: Mapping[float, float]

    @property
    def n(self) -> int:
        """Number of values that the line rests on."""
        return sum(level.n for level in self.levels.values())

    def at(self, x: float, group: Group) -> float:
        """Return y on the line of a group at x."""
        return self.levels[group].at + self.slope * x

    def leverage(self, x: float, group: Group) -> float:
        """Return h: the variance of the line at x, in residual variances."""
        level = self.levels[group]
        return 1 / level.n + (x - level.mean_x) ** 2 / self.sum_xx

    def slope_range(self, share: float = 0.95) -> Range:
        """Return the interval of the slope."""
        return _around(self.slope, self.slope_se * self._student(share))

    def mean_range(self, x: float, group: Group, share: float = 0.95) -> Range:
        """Return the interval of the line itself at x."""
        return _around(self.at(x, group), self.spread * math.sqrt(self.leverage(x, group)) * self._student(share))

    def next_range(self, x: float, group: Group, share: float = 0.95) -> Range:
        """Return the interval of one more value at x."""
        return _around(self.at(x, group), self.spread * math.sqrt(1 + self.leverage(x, group)) * self._student(share))

    def _student(self, share: float) -> float:
        return self.t[share] if share in self.t else student(share, self.df)


def fit_line(xs: Sequence[float], ys: Sequence[float], groups: Sequence[Group]) -> FittedLine | NoAnswer:
    """Fit one slope and a level for each group; it takes two values more than there are groups."""
    import numpy as np

    kinds = list(dict.fromkeys(groups))
    if len(xs) < len(kinds) + 2:
        return NoAnswer(NoAnswerReason.FEW, len(xs), len(kinds) + 2)
    x, y = np.asarray(xs, float), np.asarray(ys, float)
    code = np.array([kinds.index(group) for group in groups])
    n = np.bincount(code)
    mean_x, mean_y = np.bincount(code, x) / n, np.bincount(code, y) / n
    off_x, off_y = x - mean_x[code], y - mean_y[code]
    sum_xx = float(off_x @ off_x)
    if sum_xx <= 1e-18 * float(x @ x):
        return NoAnswer(NoAnswerReason.ONE_PLACE, len(xs))
    slope, df = float(off_x @ off_y) / sum_xx, len(xs) - len(kinds) - 1
    rest = off_y - slope * off_x
    spread = math.sqrt(float(rest @ rest) / df)
    levels = {
        kind: Level(int(n[i]), float(mean_x[i]), float(mean_y[i] - slope * mean_x[i])) for i, kind in enumerate(kinds)
    }
    return FittedLine(slope, spread / math.sqrt(sum_xx), spread, df, sum_xx, levels, students(df))


def _around(middle: float, half: float) -> Range:
    return Range(middle - half, middle + half)


SHARES = (0.80, 0.95)


def students(df: int) -> dict[float, float]:
    """Student's t for the shares that ranges are told with."""
    return {share: student(share, df) for share in SHARES}


def student(share: float, df: int) -> float:
    """Student's t that holds `share` between minus and plus itself."""
    from scipy.special import stdtrit

    return float(stdtrit(df, (1 + share) / 2))


NOTHING = 1e-9
"""Slopes and spreads below are nought but rounding: batches that are all alike."""

STEEPEST = 10
"""No practice leaves less than a thousandth at each doubling; such a b comes of wild minutes far along the count."""


@dataclass(frozen=True, slots=True)
class Point:
    """A batch in the fit: where it stands in the count (its exact midpoint), what it took and what the fit expected."""

    lot: Lot
    midpoint: float
    minutes: float
    expected: float


@dataclass(frozen=True, slots=True)
class Prediction:
    """Minutes per piece of a batch yet to be made: their median, and 80 and 95 % ranges of its mean."""

    minutes: float
    in_80: Range
    in_95: Range


@dataclass(frozen=True, slots=True)
class Learning:
    """ln(minutes per piece) = level of the pattern + b · ln K, one b for all patterns.

    K is the exact midpoint of a lot, [(1/Q)·Σ i^b]^(1/b) over its pieces i in the maker's count; each batch weighs the
    same. `made` is the count so far, with what was left out. Minutes are run minutes, or run and set-up (`fitted`).
    Source: unit theory, J. R. Crawford; lots after the cost estimators' practice, with the exact midpoint.
    """

    line: FittedLine
    fitted: FitInput
    points: tuple[Point, ...]
    made: int

    @property
    def rate(self) -> float:
        """The share of the minutes that remains when the count doubles: 0.87."""
        return rate_of(self.line.slope)

    @property
    def rate_range(self) -> Range:
        """The 95 % interval of the rate: Student's t with batches − patterns − 1."""
        ends = self.line.slope_range()
        return Range(rate_of(ends.low), rate_of(ends.high))

    @property
    def without_spread(self) -> bool:
        """The batches lie on the curve exactly, so that the ranges tell nothing."""
        return self.line.spread < NOTHING

    @property
    def first_piece_min(self) -> dict[int, float]:
        """Minutes of the first piece, by pattern."""
        return {pattern: self.at(1, pattern) for pattern in self.fitted.patterns}

    def at(self, count: float, pattern_id: int) -> float:
        """Return minutes per piece on the curve at a place in the count."""
        return from_log(self.line.at(math.log(count), pattern_id))

    def band(self, count: float, pattern_id: int, share: float = 0.95) -> Range:
        """Return the range in which one more batch would lie at a place in the count."""
        return _exp(self.line.next_range(math.log(count), pattern_id, share))

    def next_batch(self, pattern_id: int, pieces: int, after: int | None = None) -> Prediction:
        """Return what the mean of a batch of so many pieces takes, made after so many (as things stand: `made`)."""
        first = (self.made if after is None else after) + 1
        x = float(LotSums([first], [first + pieces - 1]).log_midpoints(self.line.slope)[0])
        in_80, in_95 = (_exp(self.line.next_range(x, pattern_id, share)) for share in (0.80, 0.95))
        return Prediction(from_log(self.line.at(x, pattern_id)), in_80, in_95)


def learning(
    lots: Sequence[Lot], patterns: Collection[int] | None = None, *, with_setup: bool | None = None
) -> Learning | NoAnswer:
    """Return how practice tells on all lots of one method, or why that can't be said.

    Left out, and counted, are lots that stay out of trends, those whose pattern has no other, and those of other
    patterns where `patterns` are given. `with_setup` as for `fit_input`.
    """
    chosen = fit_input(lots, patterns, with_setup=with_setup)
    if len(chosen.lots) < chosen.needed:
        return NoAnswer(NoAnswerReason.FEW, len(chosen.lots), chosen.needed)
    sums = LotSums([lot.first_piece for lot in chosen.lots], [lot.last_piece for lot in chosen.lots])
    settled = _settled(chosen, sums)
    if isinstance(settled, NoAnswer):
        return settled
    x, line = settled
    points = tuple(
        Point(lot, from_log(k), minutes, from_log(line.at(k, lot.pattern_id)))
        for lot, k, minutes in zip(chosen.lots, x, chosen.minutes, strict=True)
    )
    return Learning(line, chosen, points, max(lot.last_piece for lot in lots))


def _settled(chosen: FitInput, sums: LotSums) -> tuple[list[float], FittedLine] | NoAnswer:
    """Return ln midpoints and the line whose slope they are those of: until it moves less than 1e-12, in 50 rounds."""
    y, patterns = [math.log(m) for m in chosen.minutes], [lot.pattern_id for lot in chosen.lots]
    b = 0.0
    for _ in range(ROUNDS):
        x = sums.log_midpoints(b).tolist()
        line = fit_line(x, y, patterns)
        if isinstance(line, NoAnswer):
            return line
        if abs(line.slope - b) < SETTLED and abs(b) <= STEEPEST:
            return x, line
        b = line.slope
    return NoAnswer(NoAnswerReason.UNSETTLED, len(y))


def in_groups(chosen: FitInput) -> npt.NDArray[np.float64]:
    """Return one line for each lot, 1 in the column of its pattern and 0 elsewhere."""
    import numpy as np

    own = np.array([lot.pattern_id for lot in chosen.lots])
    ones: npt.NDArray[np.float64] = (own[:, None] == np.array(chosen.patterns)[None, :]).astype(float)
    return ones


def _exp(ends: Range) -> Range:
    return Range(from_log(ends.low), from_log(ends.high))


@dataclass(frozen=True, slots=True)
class CumulativeAverage:
    """The first n pieces take T1 · n^b minutes each on average; `averages` are (n, mean of the first n).

    Without a range: neighbouring averages hold the same pieces, so that one would promise too much.
    Source: T. P. Wright, Factors affecting the cost of airplanes, 1936.
    """

    first_piece_min: float
    b: float
    averages: tuple[tuple[int, float], ...]
    left_out: Out

    @property
    def rate(self) -> float:
        """The share of the average that remains when the count doubles."""
        return rate_of(self.b)


def cumulative_average(lots: Sequence[Lot], *, with_setup: bool | None = None) -> CumulativeAverage | NoAnswer:
    """Return the cumulative average fit to the lots of one method, brought to the level of the first pattern.

    It takes what a rate takes, timed from the first piece on. What was left out counts as average. `with_setup` as for
    `fit_input`.
    """
    fit = learning(lots, with_setup=with_setup)
    if isinstance(fit, NoAnswer):
        return fit
    if min(lot.first_piece for lot in lots) > 1:
        return NoAnswer(NoAnswerReason.NOT_FROM_THE_FIRST, len(fit.points))
    averages = _averages(fit)
    line = fit_line([math.log(n) for n, _ in averages], [math.log(mean) for _, mean in averages], [0] * len(averages))
    if isinstance(line, NoAnswer):
        return line
    return CumulativeAverage(from_log(line.levels[0].at), line.slope, tuple(averages), fit.fitted.left_out)


def _averages(fit: Learning) -> list[tuple[int, float]]:
    """Return (n, mean of the first n) after each batch, all brought to the level of the first pattern."""
    levels = fit.line.levels
    first = levels[fit.fitted.patterns[0]].at
    sums = accumulate(p.lot.pieces * p.minutes * from_log(first - levels[p.lot.pattern_id].at) for p in fit.points)
    pieces = accumulate(p.lot.pieces for p in fit.points)
    return [(p.lot.last_piece, total / n) for p, total, n in zip(fit.points, sums, pieces, strict=True)]
