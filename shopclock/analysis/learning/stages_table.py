"""All stages in one table: where the time goes, what changes, and where the most minutes are to be won."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.learning.frame import NOTHING, Series
from shopclock.analysis.learning.learning import Learning, learning
from shopclock.analysis.learning.stage_trend import stage_trend
from shopclock.shop.figures.trend_rows import ENOUGH, LAST, counts, usual

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from shopclock.analysis.learning.answer import NoAnswer
    from shopclock.analysis.learning.stage_trend import Lot, MethodTrend
    from shopclock.shop.figures.trend_rows import TrendRow, Usual

BEST_OF = 3
"""A batch of one or two can be quick by luck alone."""


def best(lots: Sequence[Lot]) -> Lot | None:
    """Return the lot with the fewest minutes per piece of those that count and have three pieces or more."""
    fitting = [lot for lot in lots if lot.left_out is None and lot.pieces >= BEST_OF]
    return min(fitting, key=lambda lot: (lot.minutes, lot.number), default=None)


@dataclass(frozen=True, slots=True)
class StageSummary:
    """A stage by the method worked last there; minutes are run minutes per piece.

    `usual` and `best` are of one pattern (`pattern_id`), the one worked last of those with four batches that count, so
    that an easier pattern is no better batch; without such a pattern `usual` is over all and there is no `best`.
    `share` of a piece's time, 0 to 1: this stage's run minutes per piece over those of all stages, by whatever method,
    each summed over the last 8 batches that are through it wholly timed.
    """

    stage_id: int
    method_id: int | None
    pattern_id: int | None
    usual: Usual
    best: Lot | None
    change: Learning | NoAnswer
    share: float | None

    @property
    def to_win_min(self) -> float | None:
        """Minutes to be won for each piece: what is usual (the median) less the best batch of three pieces or more.

        It is what would be saved if each batch went as the best one did: a ceiling, not a forecast, as the best of many
        owes something to luck. Nothing under four batches of one pattern; 0 where the usual is the best.
        """
        if self.best is None or self.usual.median_min is None:
            return None
        return max(0.0, self.usual.median_min - self.best.minutes)


def stages_table(
    rows: Sequence[TrendRow], whole: Sequence[TrendRow], made_before: Mapping[Series, int] = NOTHING
) -> tuple[StageSummary, ...]:
    """Return a line for each stage with a batch that counts, where the most minutes are to be won first.

    `rows` are those of stages, `whole` those of whole batches. Stages of which that can't be said yet come last, by
    what is usual there.
    """
    by_stage: dict[int, list[TrendRow]] = defaultdict(list)
    for row in rows:
        by_stage[row.stage_id].append(row)
    shares = time_shares(rows, whole)
    found = (_line(stage, own, shares.get(stage), made_before) for stage, own in by_stage.items())
    return tuple(sorted((line for line in found if line is not None), key=_place))


def _place(line: StageSummary) -> tuple[bool, float, float, int]:
    won, middle = line.to_win_min, line.usual.median_min
    return won is None, -(won or 0.0), -(line.usual.last_min if middle is None else middle), line.stage_id


def _line(
    stage_id: int, rows: Sequence[TrendRow], share: float | None, made_before: Mapping[Series, int]
) -> StageSummary | None:
    trend = stage_trend(rows, stage_id, made_before)
    main = trend.main
    if main is None or main.usual is None:
        return None
    pattern = _pattern(main)
    found = usual(rows, stage_id, main.method_id, pattern) or main.usual
    own = [lot for lot in main.lots if lot.pattern_id == pattern]
    change = learning(main.lots, with_setup=trend.with_setup)
    return StageSummary(stage_id, main.method_id, pattern, found, best(own), change, share)


def _pattern(main: MethodTrend) -> int | None:
    """Return the pattern worked last of those with enough batches that count."""
    many = Counter(lot.pattern_id for lot in main.counted)
    newest = sorted(main.counted, key=lambda lot: lot.at_us, reverse=True)
    return next((lot.pattern_id for lot in newest if many[lot.pattern_id] >= ENOUGH), None)


def time_shares(rows: Iterable[TrendRow], whole: Sequence[TrendRow]) -> dict[int, float]:
    """Return what share of a piece's run minutes each stage takes, over the last 8 whole batches that count.

    A stage's minutes are those of the pieces that passed it, each. Empty under four such batches.
    """
    last = {row.batch_id for row in sorted(filter(counts, whole), key=lambda row: row.middle_us)[-LAST:]}
    if len(last) < ENOUGH:
        return {}
    run: Counter[tuple[int, int]] = Counter()
    passed: Counter[tuple[int, int]] = Counter()
    for row in rows:
        if row.batch_id in last:
            run[row.batch_id, row.stage_id] += row.run_us
            passed[row.batch_id, row.stage_id] += row.pieces
    minutes: dict[int, float] = defaultdict(float)
    for batch, stage in run:
        minutes[stage] += run[batch, stage] / passed[batch, stage]
    total = sum(minutes.values())
    return {stage: each / total for stage, each in minutes.items()} if total else {}
