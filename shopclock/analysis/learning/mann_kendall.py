"""Is there a trend at all, whatever its shape? Mann-Kendall, and the Sen slope by date."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

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
        """Whether there is a trend: two-sided, 5 %."""
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
