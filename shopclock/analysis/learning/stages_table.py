"""All stages in one table: where the time goes, what changes, and where the most minutes are to be won."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shopclock.analysis.learning.ahead import Ahead
from shopclock.analysis.learning.change import Change, change, in_a_table
from shopclock.analysis.learning.frame import NO_METHOD, NOTHING, Series
from shopclock.analysis.learning.learning import fit_input
from shopclock.analysis.learning.shop_record import ShopRecord, shop_record
from shopclock.analysis.learning.stage_trend import stage_trend
from shopclock.shop.figures.trend_rows import ENOUGH, LAST, counts, usual

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from shopclock.analysis.learning.answer import NoAnswer
    from shopclock.analysis.learning.route_minutes import RouteMinutes
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
    `change` is worded as a table may. `share` of a piece's time, 0 to 1: this stage's run minutes per piece over those
    of all stages, by whatever method, each summed over the last 8 batches that are through it wholly timed.
    `to_win_min`: minutes a piece that practice takes off by the time as many more are made as in the last 8 batches, if
    it goes on as the shop's one model has it; nothing under four batches. Scatter isn't in it, nor the length of the
    record.
    """

    stage_id: int
    method_id: int | None
    pattern_id: int | None
    usual: Usual
    best: Lot | None
    change: Change | NoAnswer
    share: float | None
    to_win_min: float | None


def stages_table(
    rows: Sequence[TrendRow],
    whole: Sequence[TrendRow],
    made_before: Mapping[Series, int] = NOTHING,
    routes: Mapping[tuple[int, int], RouteMinutes] | None = None,
) -> tuple[StageSummary, ...]:
    """Return a line for each stage with a batch that counts, where the most minutes are to be won first.

    `rows` are those of stages, `whole` those of whole batches. Stages of which that can't be said yet come last, by
    what is usual there.
    """
    by_stage: dict[int, list[TrendRow]] = defaultdict(list)
    for row in rows:
        by_stage[row.stage_id].append(row)
    shares, record = time_shares(rows, whole), shop_record(rows, made_before, routes)
    found = (_line(record, stage, own, shares.get(stage), made_before) for stage, own in by_stage.items())
    lines = [line for line in found if line is not None]
    changes = in_a_table([line.change for line in lines])
    worded = (replace(line, change=said) for line, said in zip(lines, changes, strict=True))
    return tuple(sorted(worded, key=_place))


def _place(line: StageSummary) -> tuple[bool, float, float, int]:
    won, middle = line.to_win_min, line.usual.median_min
    return won is None, -(won or 0.0), -(line.usual.last_min if middle is None else middle), line.stage_id


def _line(
    record: ShopRecord, stage_id: int, rows: Sequence[TrendRow], share: float | None, made_before: Mapping[Series, int]
) -> StageSummary | None:
    trend = stage_trend(rows, stage_id, made_before)
    main = trend.main
    if main is None or main.usual is None:
        return None
    pattern = _pattern(main)
    found = usual(rows, stage_id, main.method_id, pattern) or main.usual
    own = [lot for lot in main.lots if lot.pattern_id == pattern]
    said = change(record, stage_id, main.method_id or NO_METHOD, fit_input(main.lots, with_setup=trend.with_setup))
    won = None if pattern is None else _to_win(record, main, stage_id, pattern)
    return StageSummary(stage_id, main.method_id, pattern, found, best(own), said, share, won)


def _to_win(record: ShopRecord, main: MethodTrend, stage_id: int, pattern_id: int) -> float:
    """Return the minutes a piece by which the curve falls while as many are made as in the last eight batches."""
    method = main.method_id or NO_METHOD
    now = record.made[stage_id, method]
    more = sum(lot.pieces for lot in main.lots[-LAST:])
    ahead = Ahead(record, stage_id, method)
    return max(0.0, ahead.at(pattern_id, now) - ahead.at(pattern_id, now + more))


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
