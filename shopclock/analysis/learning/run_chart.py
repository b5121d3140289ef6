"""Was this batch out of the ordinary? Batch after batch, on what is left when the trend is taken out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.learning import Learning, Out, Verdict, fit_input, from_log, learning, pattern_means

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.stage_trend import Lot

D2 = 1.128
"""Mean range of two values in standard deviations, rounded as NIST does."""

HAIR = 1e-9
"""By so much, in σ, a value must be beyond a line: exactly 3.0 σ is no signal, whatever the last bit says."""


class Signal(StrEnum):
    """The Western Electric rules. Only the first is told in words, the others mark the dot."""

    BEYOND_3 = "beyond 3 sigma"
    TWO_OF_THREE = "two of three beyond 2 sigma on one side"
    FOUR_OF_FIVE = "four of five beyond 1 sigma on one side"
    EIGHT_IN_A_ROW = "eight in a row on one side"


_RULES = ((Signal.BEYOND_3, 3, 1, 1), (Signal.TWO_OF_THREE, 2, 2, 3), (Signal.FOUR_OF_FIVE, 1, 4, 5))
_ROW = 8


@dataclass(frozen=True, slots=True)
class Individuals:
    """A chart of single values in order: centre x̄, mean moving range, σ = range/1.128, limits x̄ ± 3σ, signals.

    Source: NIST/SEMATECH e-Handbook 6.3.2.2; rules: Western Electric, Statistical Quality Control Handbook, 1956.
    """

    centre: float
    mean_range: float
    sigma: float
    limits: Range
    signals: tuple[frozenset[Signal], ...]


def individuals(values: Sequence[float]) -> Individuals | NoAnswer:
    """Return the chart of values in order; it takes two."""
    if len(values) < 2:
        return NoAnswer(NoAnswerReason.FEW, len(values), 2)
    centre = math.fsum(values) / len(values)
    mean_range = math.fsum(abs(b - a) for a, b in pairwise(values)) / (len(values) - 1)
    sigma = mean_range / D2
    offs = [(value - centre) / sigma if sigma > HAIR * abs(centre) else 0.0 for value in values]
    limits = Range(centre - 3 * sigma, centre + 3 * sigma)
    return Individuals(centre, mean_range, sigma, limits, tuple(signals_at(offs, i) for i in range(len(offs))))


def signals_at(offs: Sequence[float], i: int) -> frozenset[Signal]:
    """Return the rules that value i completes; `offs` are distances from the centre in σ, in order."""
    side = math.copysign(1, offs[i])
    seen = [off * side for off in offs[: i + 1]]
    found = {
        rule
        for rule, beyond, many, of in _RULES
        if seen[-1] > beyond + HAIR and sum(off > beyond + HAIR for off in seen[-of:]) >= many
    }
    if len(seen) >= _ROW and all(off > HAIR for off in seen[-_ROW:]):
        found.add(Signal.EIGHT_IN_A_ROW)
    return frozenset(found)


@dataclass(frozen=True, slots=True)
class RunPoint:
    """A batch in the chart: minutes per piece, what was expected with its limits, and the rules it completes."""

    lot: Lot
    minutes: float
    expected: float
    limits: Range
    signals: frozenset[Signal]

    @property
    def told(self) -> bool:
        """Out of the ordinary enough to be said in words."""
        return Signal.BEYOND_3 in self.signals


@dataclass(frozen=True, slots=True)
class BatchAfterBatch:
    """All batches of a method in order. `by_fit`: expected by the fit, otherwise by the mean of the pattern."""

    dots: tuple[RunPoint, ...]
    chart: Individuals
    by_fit: bool
    left_out: Out


def batch_after_batch(lots: Sequence[Lot], *, with_setup: bool | None = None) -> BatchAfterBatch | NoAnswer:
    """Return the chart of ln(actual/expected) over the lots of one method, told in minutes.

    It takes as many as a rate takes. `with_setup` as for `fit_input`.
    """
    chosen = fit_input(lots, with_setup=with_setup)
    if len(chosen.lots) < chosen.needed:
        return NoAnswer(NoAnswerReason.FEW, len(chosen.lots), chosen.needed)
    fit = learning(lots, with_setup=with_setup)
    by_fit = isinstance(fit, Learning) and fit.verdict is not Verdict.NO_CHANGE
    if by_fit and isinstance(fit, Learning):
        expected = [point.expected for point in fit.points]
    else:
        means = pattern_means(chosen)
        expected = [from_log(means[lot.pattern_id]) for lot in chosen.lots]
    offs = [math.log(m / e) for m, e in zip(chosen.minutes, expected, strict=True)]
    chart = individuals([round(off, 12) for off in offs])
    if isinstance(chart, NoAnswer):
        return chart
    low, high = chart.limits.low, chart.limits.high
    dots = tuple(
        RunPoint(lot, m, e, Range(from_log(math.log(e) + low), from_log(math.log(e) + high)), signals)
        for lot, m, e, signals in zip(chosen.lots, chosen.minutes, expected, chart.signals, strict=True)
    )
    return BatchAfterBatch(dots, chart, by_fit, chosen.left_out)
