"""Did minutes per piece change over the years, free of any curve? Mann-Kendall, and the Sen slope by date."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.learning import FitInput, Out, fit_input, from_log, pattern_means

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.learning import Learning
    from shopclock.analysis.learning.stage_trend import Lot

EXACT_TO = 10


@dataclass(frozen=True, slots=True)
class MannKendall:
    """S, its variance (ties allowed for), z with the ±1 correction, and the two-sided p of no trend.

    Up to ten values p is exact: over all orders of the values, ties and all (`exact`), else normal.
    Source: H. B. Mann 1945, M. G. Kendall 1975; USEPA 530/R-09-007, chapter 17.
    """

    n: int
    s: int
    variance: float
    z: float
    p: float
    exact: bool

    @property
    def significant(self) -> bool:
        """A trend is told: two-sided, 5 %."""
        return self.p <= 0.05


def mann_kendall(values: Sequence[float]) -> MannKendall | NoAnswer:
    """Return whether values in order of time rise or fall; it takes two."""
    import numpy as np

    n = len(values)
    if n < 2:
        return NoAnswer(NoAnswerReason.FEW, n, 2)
    v = np.asarray(values, float)
    s = int(np.sign(v[None, :] - v[:, None])[np.triu_indices(n, 1)].sum())
    ties = list(Counter(v.tolist()).values())
    variance = _variance(ties)
    z = (s - math.copysign(1, s)) / math.sqrt(variance) if s else 0.0
    exact = n <= EXACT_TO
    return MannKendall(n, s, variance, z, _exact_p(s, n, ties) if exact else _normal_p(z), exact)


def _variance(ties: Sequence[int]) -> float:
    """Return the variance of S without trend; `ties`: how many there are of each value."""
    whole, *tied = (t * (t - 1) * (2 * t + 5) for t in (sum(ties), *ties))
    return (whole - sum(tied)) / 18


def _normal_p(z: float) -> float:
    from scipy.special import ndtr

    return float(2 * ndtr(-abs(z)))


def _exact_p(s: int, n: int, ties: Sequence[int]) -> float:
    """Return P(|S| ≥ |s|) over all orders of the values.

    S = pairs − 2 · inversions, and the inversions of a word with repeated letters are counted by the q-multinomial
    [n]! / Π [t]! (P. A. MacMahon 1916): all orders at once, without listing them.
    """
    orders = [1]
    for k in range(1, n + 1):
        orders = _times(orders, k)
    for t in ties:
        for k in range(1, t + 1):
            orders = _over(orders, k)
    pairs = len(orders) - 1
    return sum(ways for swaps, ways in enumerate(orders) if abs(pairs - 2 * swaps) >= abs(s)) / sum(orders)


def _times(orders: list[int], k: int) -> list[int]:
    """Multiply a polynomial in q by 1 + q + … + q^(k−1)."""
    return [sum(orders[max(0, i - k + 1) : i + 1]) for i in range(len(orders) + k - 1)]


def _over(orders: list[int], k: int) -> list[int]:
    """Divide it by the same; it goes in without rest."""
    found: list[int] = []
    for i in range(len(orders) - k + 1):
        found.append(orders[i] - sum(found[max(0, i - k + 1) : i]))
    return found


@dataclass(frozen=True, slots=True)
class Sen:
    """The median slope over all pairs of dates, in values per unit of time, and the line through the medians.

    `limits` after Gilbert, interpolated between ranked slopes; nothing where they lie beyond all slopes.
    Source: P. K. Sen 1968; R. O. Gilbert 1987; USEPA 530/R-09-007, Example 17-6.
    """

    slope: float
    intercept: float
    limits: Range | None


def sen(times: Sequence[float], values: Sequence[float], share: float = 0.95) -> Sen | NoAnswer:
    """Return how fast values change with real dates; it takes two dates."""
    import numpy as np

    if len(set(times)) < 2:
        return NoAnswer(NoAnswerReason.FEW, len(set(times)), 2)
    t, v = np.asarray(times, float), np.asarray(values, float)
    one, two = np.triu_indices(len(t), 1)
    apart = t[two] != t[one]
    # Not by scipy.stats.theilslopes: it warns where ties leave no room for limits of its own, which aren't wanted here.
    ranked = np.sort((v[two] - v[one])[apart] / (t[two] - t[one])[apart])
    slope = float(np.median(ranked))
    ties = list(Counter(v.tolist()).values())
    return Sen(slope, float(np.median(v)) - slope * float(np.median(t)), _limits(ranked, ties, share))


def _limits(ranked: npt.NDArray[np.float64], ties: Sequence[int], share: float) -> Range | None:
    import numpy as np
    from scipy.special import ndtri

    c = ndtri((1 + share) / 2) * math.sqrt(_variance(ties))
    low, high = (len(ranked) - c) / 2, (len(ranked) + c) / 2 + 1
    if low < 1 or high > len(ranked):
        return None
    ranks = np.arange(1, len(ranked) + 1)
    return Range(float(np.interp(low, ranks, ranked)), float(np.interp(high, ranks, ranked)))


YEAR_US = 365.25 * 86_400e6
ENOUGH = 5
"""With four values not even four in order are rarer than 5 %."""


@dataclass(frozen=True, slots=True)
class Drift:
    """Mann-Kendall over the batches by date, and the Sen slope in minutes per piece per year with 95 % limits.

    Each batch is divided by the level of its pattern, the geometric mean of that pattern's batches, so that a change
    of product mix is no trend. `at_us` and `minutes`: what was ranked, brought to the mean level of all batches.
    """

    trend: MannKendall
    per_year_min: float
    limits: Range | None
    at_us: tuple[int, ...]
    minutes: tuple[float, ...]
    left_out: Out


def by_date(lots: Sequence[Lot], *, with_setup: bool | None = None) -> Drift | NoAnswer:
    """Return how the lots of one method went by date; it takes five, and two dates. `with_setup` as for `fit_input`."""
    chosen = fit_input(lots, with_setup=with_setup)
    if len(chosen.lots) < ENOUGH:
        return NoAnswer(NoAnswerReason.FEW, len(chosen.lots), ENOUGH)
    dated = sorted(zip((lot.at_us for lot in chosen.lots), levelled(chosen), strict=True), key=lambda pair: pair[0])
    at_us, minutes = tuple(at for at, _ in dated), tuple(m for _, m in dated)
    trend = mann_kendall(minutes)
    slope = sen([(at - at_us[0]) / YEAR_US for at in at_us], minutes)
    if isinstance(trend, NoAnswer) or isinstance(slope, NoAnswer):
        return NoAnswer(NoAnswerReason.ONE_PLACE, len(minutes))
    return Drift(trend, slope.slope, slope.limits, at_us, minutes, chosen.left_out)


def levelled(chosen: FitInput) -> list[float]:
    """Return minutes per piece brought from the level of the own pattern to the mean level of all batches."""
    logs = [math.log(m) for m in chosen.minutes]
    own = pattern_means(chosen)
    overall = math.fsum(logs) / len(logs)
    off = [log - own[lot.pattern_id] for log, lot in zip(logs, chosen.lots, strict=True)]
    # Rounded, so that batches alike but for the last bit count as ties.
    return [from_log(round(o, 12) + overall) for o in off]


def disagree(by_count: Learning, drift: Drift) -> bool:
    """Tell whether count and date point opposite ways, and either of them means it."""
    opposite = by_count.line.slope * drift.trend.s < 0
    ends = by_count.line.slope_range()
    return opposite and (drift.trend.significant or 0 not in ends)
