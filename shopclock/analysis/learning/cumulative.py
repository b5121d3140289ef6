"""The cumulative average fit, for those who plan by Wright's theory."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason
from shopclock.analysis.learning.factors import from_log, rate_of
from shopclock.analysis.learning.learning import Learning, learning
from shopclock.analysis.learning.least_squares import fit_line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.fitted import Out
    from shopclock.analysis.learning.lot import Lot


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
    `fitted`.
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
