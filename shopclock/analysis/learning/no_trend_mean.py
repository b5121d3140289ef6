"""What a stage takes where no change can be told: a mean for each pattern, with the range of one more batch."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.answer import NoAnswer, NoAnswerReason, Range
from shopclock.analysis.learning.by_date import pattern_means
from shopclock.analysis.learning.factors import from_log
from shopclock.analysis.learning.fitted import fit_input
from shopclock.analysis.learning.least_squares import student, students

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopclock.analysis.learning.lot import Lot


@dataclass(frozen=True, slots=True)
class NoTrendMean:
    """ln(minutes per piece) = mean of the pattern, with standard deviation `spread` and `df` = batches − patterns.

    `means` are of ln minutes, `counts` how many batches each rests on, both by pattern; `t` as in a Line.
    Source: any text on analysis of variance (one way, common variance).
    """

    means: Mapping[int, float]
    counts: Mapping[int, int]
    spread: float
    df: int
    t: Mapping[float, float]

    def at(self, pattern_id: int) -> float:
        """Return the mean minutes per piece of a pattern (geometric)."""
        return from_log(self.means[pattern_id])

    def next_range(self, pattern_id: int, share: float = 0.80) -> Range:
        """Return the range in which one more batch of a pattern would lie, minutes per piece."""
        mean = self.means[pattern_id]
        t = self.t[share] if share in self.t else student(share, self.df)
        half = t * self.spread * math.sqrt(1 + 1 / self.counts[pattern_id])
        return Range(from_log(mean - half), from_log(mean + half))


def no_trend_mean(lots: Sequence[Lot], *, with_setup: bool | None = None) -> NoTrendMean | NoAnswer:
    """Return the means of the lots of one method; it takes as many as a rate takes. `with_setup` as for `fitted`."""
    chosen = fit_input(lots, with_setup=with_setup)
    n, patterns = len(chosen.lots), len(chosen.patterns)
    if n < chosen.needed:
        return NoAnswer(NoAnswerReason.FEW, n, chosen.needed)
    means = pattern_means(chosen)
    offs = [math.log(m) - means[lot.pattern_id] for lot, m in zip(chosen.lots, chosen.minutes, strict=True)]
    spread = math.sqrt(math.fsum(off * off for off in offs) / (n - patterns))
    return NoTrendMean(
        means, Counter(lot.pattern_id for lot in chosen.lots), spread, n - patterns, students(n - patterns)
    )
