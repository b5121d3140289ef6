"""A straight line with one slope and a level for each group, by least squares."""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

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
        """How many values the line rests on."""
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

    kinds, codes = _coded(groups)
    if len(xs) < len(kinds) + 2:
        return NoAnswer(NoAnswerReason.FEW, len(xs), len(kinds) + 2)
    x, y, code = np.asarray(xs, float), np.asarray(ys, float), np.asarray(codes)
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


def _coded(groups: Sequence[Group]) -> tuple[list[Group], list[int]]:
    kinds = list(dict.fromkeys(groups))
    return kinds, [kinds.index(group) for group in groups]


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
