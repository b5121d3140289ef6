"""Is it getting faster? Unit theory on batches taken as lots."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.factors import from_log, rate_of
from shopclock.analysis.learning.fitted import BatchSizes, FitInput, fit_input
from shopclock.analysis.learning.least_squares import FittedLine, fit_line
from shopclock.analysis.learning.lot_sums import LotSums, settle

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.lot import Lot

NOTHING = 1e-9
"""Slopes and spreads below are nought but rounding: batches that are all alike."""

STEEPEST = 10
"""No practice leaves less than a thousandth at each doubling; such a b comes of wild minutes far along the count."""


class Verdict(StrEnum):
    """What the interval of the rate says."""

    FASTER = "getting faster"
    SLOWER = "getting slower"
    NO_CHANGE = "no clear change"


@dataclass(frozen=True, slots=True)
class Point:
    """A batch in the fit: where it stands in the count (its exact midpoint), what it took and what the fit expected."""

    lot: Lot
    midpoint: float
    minutes: float
    expected: float


@dataclass(frozen=True, slots=True)
class Prediction:
    """What a batch yet to be made will take: minutes per piece, as a median and as 80 and 95 % ranges of its mean.

    `leverage` (h), `df` and `spread` (s, of ln minutes) are what a draw of it takes: s·√(1 + h)·t.
    """

    minutes: float
    in_80: Range
    in_95: Range
    leverage: float
    df: int
    spread: float


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
    def verdict(self) -> Verdict:
        """Whether it gets faster, by the interval of the rate."""
        ends = self.line.slope_range()
        if ends.high < -NOTHING:
            return Verdict.FASTER
        return Verdict.SLOWER if ends.low > NOTHING else Verdict.NO_CHANGE

    @property
    def sizes(self) -> BatchSizes:
        """Whether batches grew or shrank too, so that size and skill can't be told apart."""
        return self.fitted.sizes

    @property
    def without_spread(self) -> bool:
        """Whether the batches lie on the curve exactly, so that the ranges tell nothing."""
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
        x = _log_midpoints(LotSums([first], [first + pieces - 1]), self.line.slope)[0]
        in_80, in_95 = (_exp(self.line.next_range(x, pattern_id, share)) for share in (0.80, 0.95))
        h = self.line.leverage(x, pattern_id)
        return Prediction(from_log(self.line.at(x, pattern_id)), in_80, in_95, h, self.line.df, self.line.spread)


def learning(
    lots: Sequence[Lot], patterns: Collection[int] | None = None, *, with_setup: bool | None = None
) -> Learning | NoAnswer:
    """Return how practice tells on all lots of one method, or why that can't be said.

    Left out, and counted, are lots that stay out of trends, those whose pattern has no other, and those of other
    patterns where `patterns` are given. `with_setup` as for `fitted`.
    """
    chosen = fit_input(lots, patterns, with_setup=with_setup)
    if len(chosen.lots) < chosen.needed:
        return NoAnswer(NoAnswerReason.FEW, len(chosen.lots), chosen.needed)
    sums = LotSums([lot.first_piece for lot in chosen.lots], [lot.last_piece for lot in chosen.lots])
    b = _settled(chosen, sums)
    if b is None or abs(b) > STEEPEST:
        return NoAnswer(NoAnswerReason.UNSETTLED, len(chosen.lots))
    x = _log_midpoints(sums, b)
    line = fit_line(x, [math.log(m) for m in chosen.minutes], [lot.pattern_id for lot in chosen.lots])
    if isinstance(line, NoAnswer):
        return line
    points = tuple(_point(line, *of) for of in zip(chosen.lots, x, chosen.minutes, strict=True))
    return Learning(line, chosen, points, max(lot.last_piece for lot in lots))


def _settled(chosen: FitInput, sums: LotSums) -> float | None:
    import numpy as np

    y = np.log(np.asarray(chosen.minutes))[None, :]
    b, settled = settle(sums, y, in_groups(chosen), np.ones_like(y))
    return float(b[0]) if settled[0] else None


def in_groups(chosen: FitInput) -> npt.NDArray[np.float64]:
    """Return one line for each lot, 1 in the column of its pattern and 0 elsewhere."""
    import numpy as np

    own = np.array([lot.pattern_id for lot in chosen.lots])
    ones: npt.NDArray[np.float64] = (own[:, None] == np.array(chosen.patterns)[None, :]).astype(float)
    return ones


def _log_midpoints(sums: LotSums, b: float) -> list[float]:
    import numpy as np

    return [float(x) for x in sums.log_midpoints(np.array([b]))[0]]


def _point(line: FittedLine, lot: Lot, x: float, minutes: float) -> Point:
    return Point(lot, from_log(x), minutes, from_log(line.at(x, lot.pattern_id)))


def _exp(ends: Range) -> Range:
    return Range(from_log(ends.low), from_log(ends.high))
