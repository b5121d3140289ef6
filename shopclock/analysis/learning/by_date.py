"""Did minutes per piece change over the years, free of any curve? Mann-Kendall and Sen, within each pattern."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from functools import reduce
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.learning import Out, from_log

if TYPE_CHECKING:
    from collections.abc import Hashable, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.learning import FitInput

    Floats = npt.NDArray[np.float64]

EXACT_TO = 10


@dataclass(frozen=True, slots=True)
class MannKendall:
    """S, its variance (ties allowed for), z with the ±1 correction, and the two-sided p of no trend.

    With groups S and its variance are summed over the groups, each ranked by itself (R. M. Hirsch, J. R. Slack and
    R. A. Smith 1982, Water Resources Research 18: the seasonal form). Where no group has more than ten values p is
    exact: over all orders within the groups, ties and all (`exact`), else normal. Where neighbours are alike the
    variance is widened and p is the larger of the two.
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


def mann_kendall(
    values: Sequence[float], groups: Sequence[Hashable] | None = None, likeness: float = 0.0
) -> MannKendall | NoAnswer:
    """Return whether values in order of time rise or fall; it takes two in one group.

    `likeness`: correlation of neighbours.
    """
    n = len(values)
    apart = _grouped(values, groups)
    if all(len(own) < 2 for own in apart):
        return NoAnswer(NoAnswerReason.FEW, n, 2)
    s = sum(_s(own) for own in apart)
    ties = [list(Counter(own).values()) for own in apart]
    plain = sum(_variance(t) for t in ties)
    # Batches of other patterns lie between those of one: neighbours in a group are so far apart.
    between = n / max(1, *(len(own) for own in apart)) if len(apart) > 1 else 1.0
    variance = sum(_variance(t) * _widened(sum(t), likeness**between) for t in ties)
    z = (s - math.copysign(1, s)) / math.sqrt(variance) if s else 0.0
    exact = all(len(own) <= EXACT_TO for own in apart)
    p = _exact_p(s, ties) if exact else _normal_p(z)
    return MannKendall(n, s, variance, z, max(p, _normal_p(z)) if variance > plain else p, exact)


def _grouped(values: Sequence[float], groups: Sequence[Hashable] | None) -> list[list[float]]:
    if groups is None:
        return [list(values)]
    found: dict[Hashable, list[float]] = {}
    for value, group in zip(values, groups, strict=True):
        found.setdefault(group, []).append(value)
    return list(found.values())


BLOCK = 500


def _s(values: Sequence[float]) -> int:
    """Return the rising pairs less the falling ones; in blocks, so that thousands don't fill the memory."""
    import numpy as np

    v = np.asarray(values, float)
    total = 0
    for start in range(0, v.size, BLOCK):
        own, later = v[start : start + BLOCK, None], v[None, start:]
        after = np.arange(later.size)[None, :] > np.arange(own.size)[:, None]
        total += int(np.count_nonzero((later > own) & after)) - int(np.count_nonzero((later < own) & after))
    return total


def _widened(n: int, likeness: float) -> float:
    """Return by how much the variance of S grows where neighbours correlate by `likeness`, those k apart by its power.

    Source: K. H. Hamed and A. R. Rao 1998, J. Hydrology 204, equation 6, with the correlation of ranks of a normal.
    """
    import numpy as np

    if n < 3 or likeness <= 0:
        return 1.0
    k = np.arange(1, n)
    ranks = 6 / np.pi * np.arcsin(likeness**k / 2)
    return 1 + 2 / (n * (n - 1) * (n - 2)) * float(((n - k) * (n - k - 1) * (n - k - 2) * ranks).sum())


def _variance(ties: Sequence[int]) -> float:
    """Return the variance of S without trend; `ties`: how many there are of each value."""
    whole, *tied = (t * (t - 1) * (2 * t + 5) for t in (sum(ties), *ties))
    return (whole - sum(tied)) / 18


def _normal_p(z: float) -> float:
    from scipy.special import ndtr

    return float(2 * ndtr(-abs(z)))


def _exact_p(s: int, ties: Sequence[Sequence[int]]) -> float:
    """Return P(|S| ≥ |s|) over all orders of the values within their groups; `ties` of each.

    S = pairs − 2 · inversions, and the inversions of a word with repeated letters are counted by the q-multinomial
    [n]! / Π [t]! (P. A. MacMahon 1916): all orders at once, without listing them. Groups multiply.
    """
    orders = reduce(_product, (_orders(own) for own in ties))
    pairs = len(orders) - 1
    return sum(ways for swaps, ways in enumerate(orders) if abs(pairs - 2 * swaps) >= abs(s)) / sum(orders)


def _orders(ties: Sequence[int]) -> list[int]:
    """Return in how many ways so many inversions come about, from 0 on."""
    orders = [1]
    for k in range(1, sum(ties) + 1):
        orders = _times(orders, k)
    for t in ties:
        for k in range(1, t + 1):
            orders = _over(orders, k)
    return orders


def _product(one: list[int], other: list[int]) -> list[int]:
    found = [0] * (len(one) + len(other) - 1)
    for i, a in enumerate(one):
        for j, b in enumerate(other):
            found[i + j] += a * b
    return found


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
    """The median slope over all pairs of dates within groups, in values per unit of time, and the line through medians.

    `limits` after Gilbert, interpolated between ranked slopes; nothing where they lie beyond all slopes.
    Source: P. K. Sen 1968; R. O. Gilbert 1987; USEPA 530/R-09-007, Example 17-6; R. M. Hirsch et al. 1982.
    """

    slope: float
    intercept: float
    limits: Range | None


MOST_PAIRS = 300_000
"""Beyond so many pairs some are drawn, by a fixed seed: what that leaves unsure is nothing beside the limits."""


def sen(
    times: Sequence[float],
    values: Sequence[float],
    groups: Sequence[Hashable] | None = None,
    likeness: float = 0.0,
    share: float = 0.95,
) -> Sen | NoAnswer:
    """Return how fast values change with real dates; it takes two dates in one group."""
    import numpy as np

    t, v = np.asarray(times, float), np.asarray(values, float)
    kinds = [0] * len(t) if groups is None else list(groups)
    own = [np.array([i for i, kind in enumerate(kinds) if kind == k], np.int64) for k in dict.fromkeys(kinds)]
    # Not by scipy.stats.theilslopes: it warns where ties leave no room for limits of its own, which aren't wanted here.
    ranked = np.sort(np.concatenate([_slopes(t[i], v[i], MOST_PAIRS // len(own)) for i in own] or [np.zeros(0)]))
    if not ranked.size:
        return NoAnswer(NoAnswerReason.FEW, len(set(times)), 2)
    slope = float(np.median(ranked))
    trend = mann_kendall(v.tolist(), kinds, likeness)
    variance = 0.0 if isinstance(trend, NoAnswer) else trend.variance
    pairs = sum(i.size * (i.size - 1) // 2 for i in own)
    half = math.sqrt(variance) * ranked.size / max(1, pairs)
    return Sen(slope, float(np.median(v)) - slope * float(np.median(t)), _limits(ranked, half, share))


def _slopes(t: Floats, v: Floats, most: int) -> Floats:
    """Return the slopes of the pairs of one group that lie at two dates."""
    import numpy as np

    n = t.size
    if n * (n - 1) // 2 <= most:
        one, two = np.triu_indices(n, 1)
    else:
        one, two = np.random.default_rng(n).integers(0, n, (2, most))
    run = t[two] - t[one]
    found: Floats = (v[two] - v[one])[run != 0] / run[run != 0]
    return found


def _limits(ranked: Floats, half: float, share: float) -> Range | None:
    import numpy as np
    from scipy.special import ndtri

    c = ndtri((1 + share) / 2) * half
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
    """Mann-Kendall over the batches by date within each pattern, and the pooled Sen slope of ln minutes a piece.

    `per_year` with 95 % `limits`, in ln minutes a year: told as from what to what within the time that was seen, never
    beyond it. A change of product mix is no trend, as patterns are never compared. `at_us` by date.
    """

    trend: MannKendall
    per_year: float
    limits: Range | None
    at_us: tuple[int, ...]
    left_out: Out

    @property
    def years(self) -> float:
        """Time from the first batch to the last, in years."""
        return (self.at_us[-1] - self.at_us[0]) / YEAR_US

    @property
    def ratio(self) -> float:
        """Minutes at the end of that time over those at its beginning."""
        return from_log(self.per_year * self.years)

    @property
    def ratios(self) -> Range | None:
        """The 95 % range of the same."""
        ends = self.limits
        return ends and Range(from_log(ends.low * self.years), from_log(ends.high * self.years))


def by_date(chosen: FitInput, likeness: float = 0.0) -> Drift | NoAnswer:
    """Return how the lots of one method went by date; it takes five, and two dates. `likeness` of neighbours."""
    if len(chosen.lots) < ENOUGH:
        return NoAnswer(NoAnswerReason.FEW, len(chosen.lots), ENOUGH)
    dated = sorted(zip(chosen.lots, chosen.minutes, strict=True), key=lambda pair: pair[0].at_us)
    at_us, patterns = tuple(lot.at_us for lot, _ in dated), [lot.pattern_id for lot, _ in dated]
    # Rounded, so that batches alike but for the last bit count as ties.
    logs = [round(math.log(minutes), 12) for _, minutes in dated]
    trend = mann_kendall(logs, patterns, likeness)
    slope = sen([(at - at_us[0]) / YEAR_US for at in at_us], logs, patterns, likeness)
    if isinstance(trend, NoAnswer) or isinstance(slope, NoAnswer):
        return NoAnswer(NoAnswerReason.ONE_PLACE, len(logs))
    return Drift(trend, slope.slope, slope.limits, at_us, chosen.left_out)
