"""Is it getting faster? The verdict on one stage and method, which takes no belief about slopes.

Its slope, and the level of each pattern, are its own; spread and likeness of neighbours are the shop's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from statistics import median
from typing import TYPE_CHECKING

from shopclock.analysis.model.series import lines
from shopclock.analysis.model.students import START, Spread, log_density, quantile, squeeze, tail

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.model.series import Lines, Series

    Floats = npt.NDArray[np.float64]

SURE, GUARD = 0.975, 0.90
"""One side of an interval that holds 19 times in 20, and of the guard's with a batch left out."""
ENDED, STEP, FLAT, OPEN = 2.0, 2.5, 3.0, 1.0
"""Margins in nats of the leave-one-out score, tried on simulated shops: no source."""
SHAPES_FROM, EACH_SIDE = 8, 3
STEADY = 0.05
"""About as long: the whole range lies within so much of no change at each doubling."""


@dataclass(frozen=True, slots=True)
class Pool:
    """Common to a shop's stages: the likeness of neighbouring batches, and their spread.

    `robust`: the variance of a batch by the middle of all residuals, which a wild batch doesn't widen. `believed`: how
    much each likeness is to be believed where it isn't known for sure (weights that sum to 1).
    """

    likeness: float = 0.2
    spread: Spread = START
    robust: float = START.variance
    believed: tuple[tuple[float, float], ...] = ()


LIKENESSES = tuple(i / 10 for i in range(9))
BELIEVED, GIVE = 0.2, 0.3
"""A weak belief about the likeness, normal; a start, no source."""
UNLIKELY = 0.01
"""A likeness that is believed so much less than the best one is left out."""
CHI_MIDDLE = 0.455
"""Median of chi-square of one degree of freedom."""


def pooled(series: Iterable[Series]) -> Pool:
    """Return the likeness with the greatest restricted likelihood over all stages, and the spread squeezed at it.

    REML: H. D. Patterson and R. Thompson 1971, Biometrika 58; the grid is 0 to 0.8.
    """
    some = [one for one in series if one.n > one.levels.shape[1] + 1]
    middles = [_middle(lines(one, one.x[None, :], 0.0)) for one in some]
    robust = median(middles) if middles else START.variance
    if len(middles) < 3:
        robust = min(robust, START.variance)  # so few stages are what a wild batch makes of them
    known = [one for one in some if one.n > one.levels.shape[1] + 2]
    if not known:
        return Pool(robust=robust)
    tried = {likeness: [lines(one, one.x[None, :], likeness) for one in known] for likeness in LIKENESSES}
    scored = {likeness: _score(likeness, fits) for likeness, fits in tried.items()}
    best = max(scored, key=lambda likeness: scored[likeness])
    found = tried[best]
    spread = squeeze([float(one.squares[0]) / one.df for one in found], [float(one.df) for one in found])
    weights = {likeness: math.exp(score - scored[best]) for likeness, score in scored.items()}
    some_way = {likeness: weight for likeness, weight in weights.items() if weight > UNLIKELY}
    total = sum(some_way.values())
    return Pool(best, spread, robust, tuple((likeness, weight / total) for likeness, weight in some_way.items()))


def _score(likeness: float, fits: Sequence[Lines]) -> float:
    belief = -0.5 * ((likeness - BELIEVED) / GIVE) ** 2
    return belief - 0.5 * sum(
        one.logdet + one.log_information + one.df * math.log(float(one.squares[0])) for one in fits
    )


def _middle(one: Lines) -> float:
    """Return the variance of a batch by the median of its squared standardised deleted residuals."""
    import numpy as np

    return max(float(np.median(one.gone[0] ** 2 * one.sure[0])) / CHI_MIDDLE, 1e-8)


@dataclass(frozen=True, slots=True)
class Bounds:
    """A slope or step b in ln minutes with its 95 % interval; the guard: its ends with any one batch left out.

    `highest`, `lowest`: ends of the worst 80 % interval without a batch; `alone`: the batch that `highest` hangs on.
    """

    b: float
    low: float
    high: float
    highest: float
    lowest: float
    alone: int
    p: float

    @property
    def quicker(self) -> bool:
        """Below 0 with every batch left out in turn."""
        return max(self.high, self.highest) < 0

    @property
    def slower(self) -> bool:
        """Above 0 with every batch left out in turn."""
        return min(self.low, self.lowest) > 0


def bounds(fit: Lines, spread: Spread, likely: Sequence[tuple[Lines, float]] = (), tried: int = 1) -> Bounds:
    """Return how sure b is: Student's t with the squeezed spread; without each batch in closed form.

    `likely`: the same fit at each likeness that may be, and how much it is believed. Then b is their mean, its variance
    the mean of theirs and what they differ by. Where b is the best of several that were `tried`, the interval holds 19
    times in 20 whichever of them it is (C. E. Bonferroni's inequality).
    """
    import numpy as np

    df = spread.df + fit.df
    b, variance = _over(likely, spread) if likely else (float(fit.b[0]), _variance(fit, spread))
    se = math.sqrt(variance)
    half = quantile(df, 1 - (1 - SURE) / tried) * se
    without = spread.with_own(fit.squares_without[0], fit.df - 1)
    moved = float(fit.b[0]) - fit.pull[0] * fit.gone[0]
    halves = quantile(df - 1, GUARD) * np.sqrt(without * (fit.unit[0] + fit.pull[0] ** 2 / fit.sure[0]))
    highest = moved + halves
    alone = int(np.argmax(highest))
    p = min(1.0, 2 * float(tail(df, b / se)) * tried)
    return Bounds(b, b - half, b + half, float(highest[alone]), float((moved - halves).min()), alone, p)


def _variance(fit: Lines, spread: Spread) -> float:
    return float(spread.with_own(fit.squares[0], fit.df)) * float(fit.unit[0])


def _over(likely: Sequence[tuple[Lines, float]], spread: Spread) -> tuple[float, float]:
    """Return mean and variance of b over the likenesses that may be."""
    b = sum(weight * float(one.b[0]) for one, weight in likely)
    return b, sum(weight * (_variance(one, spread) + (float(one.b[0]) - b) ** 2) for one, weight in likely)


def scores(fit: Lines, spread: Spread) -> Floats:
    """Return the leave-one-out score of each variant: the sum of ln densities of each batch given all others, nats."""
    import numpy as np

    df = spread.df + fit.df - 1
    variance = spread.with_own(fit.squares_without, fit.df - 1) / fit.sure
    found: Floats = (log_density(df, fit.gone / np.sqrt(variance)) - 0.5 * np.log(variance)).sum(axis=1)
    return found


@dataclass(frozen=True, slots=True)
class Shape:
    """A change at one batch, the best of all: `at` is its place, where the new time begins; the score in nats.

    Its bounds hold whichever place it is.
    """

    at: int
    bounds: Bounds
    score: float


@dataclass(frozen=True, slots=True)
class Look:
    """All that the verdict on a stage and method is read from; scores in nats, shapes from eight batches on."""

    n: int
    bounds: Bounds
    curve: float
    flat: float
    ended: Shape | None
    step: Shape | None

    @property
    def rates(self) -> tuple[float, float, float]:
        """Share that is left when the count doubles: estimate, low and high end of 95 %."""
        b = self.bounds
        return 2.0**b.b, 2.0 ** max(b.low, -60.0), 2.0 ** min(b.high, 60.0)


def look(series: Series, pool: Pool) -> Look | None:
    """Look at a series; nothing where it has too few batches, or all of a pattern stand at one place."""
    import numpy as np

    if series.n < series.needed:
        return None
    fit = lines(series, series.x[None, :], pool.likeness)
    if fit.unit[0] * 1e-9 > 1:
        return None
    flat = float(scores(lines(series, None, pool.likeness), pool.spread)[0])
    ended = step = None
    if series.n >= SHAPES_FROM:
        ended = _shape(series, pool, lambda at: np.minimum(series.x, series.x[at - 1]))
        step = _shape(series, pool, lambda at: (np.arange(series.n) >= at).astype(float))
    likely = [(lines(series, series.x[None, :], likeness), weight) for likeness, weight in pool.believed]
    return Look(series.n, bounds(fit, pool.spread, likely), float(scores(fit, pool.spread)[0]), flat, ended, step)


MOST_PLACES = 64


def _shape(series: Series, pool: Pool, column: Callable[[int], Floats]) -> Shape:
    """Return the best place of a change; in long series places are tried ever closer about the best of a few."""
    import numpy as np

    first, last = EACH_SIDE, series.n - EACH_SIDE
    every = last - first + 1
    while True:
        places = (
            np.unique(np.linspace(first, last, MOST_PLACES).round().astype(int))
            if last - first > MOST_PLACES
            else np.arange(first, last + 1)
        )
        tried = lines(series, np.stack([column(at) for at in places.tolist()]), pool.likeness)
        score = scores(tried, pool.spread)
        best = int(np.argmax(score))
        if last - first <= MOST_PLACES:
            own = bounds(tried.one(best), pool.spread, tried=every)
            return Shape(int(places[best]), own, float(score[best]))
        first, last = int(places[max(0, best - 1)]), int(places[min(best + 1, places.size - 1)])


class Verdict(StrEnum):
    """Verdict on a stage and method: what may be said of it."""

    FEW = "not enough yet"
    FASTER = "getting faster"
    SLOWER = "getting slower"
    STEP = "quicker since"
    ENDED = "was getting faster, no longer"
    ONE_BATCH = "rests on one batch"
    OPEN = "has got quicker, how can't be told yet"
    STEADY = "about as long"
    UNKNOWN = "can't tell yet"

    @property
    def improved(self) -> bool:
        """A word of improvement."""
        return self in (Verdict.FASTER, Verdict.STEP, Verdict.ENDED, Verdict.OPEN)


def verdict(found: Look | None) -> Verdict:
    """Read the verdict, in the order of the manual's table."""
    if found is None:
        return Verdict.FEW
    if found.bounds.slower:
        return Verdict.SLOWER
    shape = _changed_at_once(found)
    if shape is not None:
        return shape
    if found.bounds.high < 0:
        return _clear(found)
    return without_improvement(*found.rates[1:])


def without_improvement(low: float, high: float) -> Verdict:
    """Return what a range says in which no change is told: about as long only where the whole of it is within 5 %."""
    return Verdict.STEADY if low >= 1 - STEADY and high <= 1 + STEADY else Verdict.UNKNOWN


def _changed_at_once(found: Look) -> Verdict | None:
    """Return STEP or ENDED where one of them scores clearly over the others and is clear by itself."""
    ended, step = found.ended, found.step
    if ended is None or step is None:
        return None
    if step.bounds.quicker and step.score > max(max(found.curve, ended.score) + STEP, found.flat + FLAT):
        return Verdict.STEP
    rivals = max(max(found.curve, step.score - STEP) + ENDED, found.flat + FLAT)
    return Verdict.ENDED if ended.bounds.quicker and ended.score > rivals else None


def _clear(found: Look) -> Verdict:
    """Return what an interval below 100 % says."""
    if found.bounds.highest >= 0:
        return Verdict.ONE_BATCH
    shapes = [shape.score for shape in (found.ended, found.step) if shape is not None]
    return Verdict.OPEN if shapes and max(shapes) > found.curve + OPEN else Verdict.FASTER


def discoveries(p_values: Sequence[float], rate: float) -> list[bool]:
    """Tell which of several tests are rejected at a false discovery rate (Benjamini and Hochberg 1995)."""
    ranked = sorted(p_values)
    n = len(ranked)
    passing = [p for i, p in enumerate(ranked, 1) if p <= rate * i / n]
    return [bool(passing) and p <= passing[-1] for p in p_values]


@dataclass(frozen=True, slots=True)
class Standing:
    """A batch against the line of all the others: how far off in ln minutes, the ends of what is ordinary, if it is."""

    off: float
    limit: float
    wild: bool


WILD_DF = 8.0
CHARTS = 1 / 20


def standings(series: Series, pool: Pool) -> list[Standing] | None:
    """Return how each batch stands to the line of the others (from three on), and whether it is out of the ordinary.

    Deleted residuals, so that a batch can't widen its own limits; the spread is squeezed to the shop's robust one; a
    chart gives a false alarm in one of twenty (two-sided p below .05/n).
    """
    import numpy as np

    if series.n < 3 or series.n <= series.levels.shape[1] + 1:
        return None
    fit = lines(series, series.x[None, :], 0.0)
    df = WILD_DF - 1 + fit.df
    variance = (WILD_DF * pool.robust + fit.squares_without[0]) / df
    limits = quantile(df, 1 - CHARTS / series.n / 2) * np.sqrt(variance / fit.sure[0])
    gone = fit.gone[0]
    return [Standing(float(off), float(limit), bool(abs(off) > limit)) for off, limit in zip(gone, limits, strict=True)]
