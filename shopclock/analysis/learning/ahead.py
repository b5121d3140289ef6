"""Minutes a piece ahead of a method, by the shop's one model: the next batch, the curve, levels of patterns."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import Range
from shopclock.analysis.learning.learning import Prediction, from_log
from shopclock.analysis.model.shop_model import TAIL, Coming, expected
from shopclock.analysis.model.students import quantile

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.learning.shop_record import ShopRecord
    from shopclock.analysis.learning.stage_trend import Lot

    Floats = npt.NDArray[np.float64]

MOST = 60
"""More places than a curve needs tell nothing more."""


@dataclass(frozen=True, slots=True)
class Curve:
    """Minutes per piece along a method's own count: the middle, and the range that holds 8 of 10 batches there."""

    counts: tuple[float, ...]
    lows: tuple[float, ...]
    middles: tuple[float, ...]
    highs: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Ahead:
    """A stage's method as the model has it, for one pattern after the other."""

    record: ShopRecord
    stage: int
    method: int

    def levels(self, patterns: Sequence[int], pieces: int) -> dict[int, float]:
        """Return ln minutes a piece of the next batch, by pattern."""
        return {pattern: float(self._told(pattern, [self._next(pieces)])[0][0]) for pattern in patterns}

    def at(self, pattern: int, count: int) -> float:
        """Return minutes a piece on the curve at a place in the method's count."""
        return from_log(float(self._told(pattern, [(count, count)])[0][0]))

    def next_batch(self, pattern: int, pieces: int) -> Prediction:
        """Return what the mean of the next batch takes, with its ranges."""
        means, variances = self._told(pattern, [self._next(pieces)])
        mean, variance = float(means[0]), float(variances[0])
        in_80, in_95 = (
            Range(from_log(mean - half), from_log(mean + half))
            for half in (self._half(variance, 0.90), self._half(variance, 0.975))
        )
        return Prediction(from_log(mean), in_80, in_95)

    def curve(self, pattern: int, lots: Sequence[Lot], ahead: int) -> Curve:
        """Return the line of a pattern over the lots of a method and `ahead` pieces more."""
        counts = _places(lots, ahead)
        means, variances = self._told(pattern, [(count, count) for count in counts])
        halves = [self._half(variance, 0.90) for variance in variances.tolist()]
        pairs = list(zip(means.tolist(), halves, strict=True))
        return Curve(
            tuple(float(count) for count in counts),
            tuple(from_log(mean - half) for mean, half in pairs),
            tuple(from_log(mean) for mean, _ in pairs),
            tuple(from_log(mean + half) for mean, half in pairs),
        )

    def _next(self, pieces: int) -> tuple[int, int]:
        made = self.record.made.get((self.stage, self.method), 0)
        return made + 1, made + max(1, pieces)

    def _told(self, pattern: int, lots: Sequence[tuple[int, int]]) -> tuple[Floats, Floats]:
        """Return mean and variance of ln minutes a piece of lots of one batch to come, without what it is off alone."""
        import numpy as np

        fit, record = self.record.fit, self.record
        wide = self.stage in record.without_route
        coming = [
            Coming(
                self.stage, pattern, self.method, fit.batches, first, last,
                record.offset(self.stage, pattern, last - first + 1), without_route=wide,
            )
            for first, last in lots
        ]  # fmt: skip
        means, covariance = expected(fit, coming)
        return means, np.diag(covariance)

    def _half(self, variance: float, share: float) -> float:
        """Return half of a range: what the model and the batch leave unsure (normal) and what it is off alone (t)."""
        from scipy.special import ndtri

        own = self.record.fit.own.get(self.stage, self.record.fit.scales.own)
        return math.hypot(float(ndtri(share)) * math.sqrt(variance), quantile(TAIL, share) * math.sqrt(own))


def _places(lots: Sequence[Lot], ahead: int) -> list[int]:
    """Return places from the first piece to the last one ahead, closer together where the curve is steep."""
    first, last = min(lot.first_piece for lot in lots), max(lot.last_piece for lot in lots) + max(1, ahead)
    steps = [math.log(first) + (math.log(last) - math.log(first)) * i / MOST for i in range(MOST + 1)]
    return sorted({first, last, *(min(last, max(first, round(math.exp(step)))) for step in steps)})
