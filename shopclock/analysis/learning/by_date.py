"""Whether minutes per piece changed over the years, free of any curve."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.factors import from_log
from shopclock.analysis.learning.fitted import FitInput, Out, fit_input
from shopclock.analysis.learning.mann_kendall import MannKendall, mann_kendall, sen

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.learning.learning import Learning
    from shopclock.analysis.learning.lot import Lot

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
    """Return how the lots of one method went by date; it takes five, and two dates. `with_setup` as for `fitted`."""
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


def pattern_means(chosen: FitInput) -> dict[int, float]:
    """Return the mean of ln minutes, by pattern."""
    logs: dict[int, list[float]] = defaultdict(list)
    for lot, minutes in zip(chosen.lots, chosen.minutes, strict=True):
        logs[lot.pattern_id].append(math.log(minutes))
    return {pattern: math.fsum(own) / len(own) for pattern, own in logs.items()}


def disagree(by_count: Learning, drift: Drift) -> bool:
    """Tell whether count and date point opposite ways, and either of them means it."""
    opposite = by_count.line.slope * drift.trend.s < 0
    ends = by_count.line.slope_range()
    return opposite and (drift.trend.significant or 0 not in ends)
