"""One batch reviewed: where its minutes went, stage by stage, beside what was usual before it.

The minutes are those of `shop.figures`; what is usual and what counts is that of `shop.stage_rows`.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from shopclock.shop.figures.batch_figures import CUT_DOWN, KEPT, LOST, BatchFigures, StageFigures, figures
from shopclock.shop.figures.trend_rows import LAST, TrendRow, Usual, counts, last_rows, usual
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Batch, Interval


class Went(StrEnum):
    """What the minutes of a batch went into, in the words of the chart."""

    OWN = "its own"
    SET_UP = "set-up"
    REWORK = "rework"
    LOST = "lost"
    KEPT = "kept"
    CUT_DOWN = "cut down"


class Pace(StrEnum):
    """A stage of a batch beside the last ones; said only of what lies outside all of them."""

    QUICKER = "quicker"
    SLOWER = "slower"


@dataclass(frozen=True, slots=True)
class StageReview:
    """A stage in a batch. `method_id` is that of most of its pieces; usual is by the same one."""

    stage_id: int
    method_id: int | None
    figures: StageFigures
    usual: Usual | None
    pace: Pace | None


@dataclass(frozen=True, slots=True)
class Review:
    """A batch: its figures, its stages with work in them, its first start and last end (0 without any)."""

    figures: BatchFigures
    stages: tuple[StageReview, ...]
    first_us: int
    last_us: int

    @property
    def hands_on_share(self) -> float | None:
        """Labour over the time from first start to last end, 0 to 1; nothing where no time went by."""
        lasted = self.last_us - self.first_us
        return self.figures.whole.all_us / lasted if lasted > 0 else None


def review(floor: ShopFloor, rows: Sequence[TrendRow], batch_id: int, now_us: int) -> Review:
    """Review a batch that is whole on the floor; `rows` are those of all batches."""
    told = figures(floor, batch_id, now_us)
    stages = [_stage(rows, told.batch, stage) for stage in told.stages if stage.all_us]
    first, last = _span(floor, batch_id, now_us)
    return Review(told, tuple(stages), first, last)


def parts(stage: StageFigures) -> dict[Went, int]:
    """Sort everything spent at a stage by what it went into, in microseconds; they add up to it."""
    own = stage.of_finished
    return {
        Went.OWN: own.run_us,
        Went.SET_UP: own.setup_us,
        Went.REWORK: own.rework_us,
        Went.LOST: stage.carried[LOST],
        Went.KEPT: stage.carried[KEPT],
        Went.CUT_DOWN: stage.carried[CUT_DOWN],
    }


def _stage(rows: Sequence[TrendRow], batch: Batch, stage: StageFigures) -> StageReview:
    own = [row for row in rows if row.batch_id == batch.id and row.stage_id == stage.stage_id]
    row = max(own, key=lambda r: (not r.mixed, r.pieces), default=None)
    if row is None or row.mixed:
        return StageReview(stage.stage_id, None, stage, None, None)
    earlier = before(rows, row)
    found = usual(earlier, stage.stage_id, row.method_id, batch.pattern_id)
    whole = len(own) == 1
    return StageReview(stage.stage_id, row.method_id, stage, found, pace(earlier, row) if whole else None)


def before(rows: Iterable[TrendRow], row: TrendRow) -> list[TrendRow]:
    """Return the rows of the batches that were at a stage before this one."""
    return [
        r for r in rows if r.stage_id == row.stage_id and r.batch_id != row.batch_id and r.middle_us < row.middle_us
    ]


def pace(earlier: Iterable[TrendRow], row: TrendRow) -> Pace | None:
    """Tell whether a batch was quicker or slower than all of its last 8, by run minutes alone.

    Nothing is said before there are 8 of its own pattern: of fewer, one lies outside too easily.
    """
    last = last_rows(earlier, row.stage_id, row.method_id, row.pattern_id)
    if not counts(row) or len(last) < LAST or any(r.pattern_id != row.pattern_id for r in last):
        return None
    minutes = [r.per_piece_min for r in last]
    if row.per_piece_min < min(minutes):
        return Pace.QUICKER
    return Pace.SLOWER if row.per_piece_min > max(minutes) else None


def _span(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[int, int]:
    """Return the first start and the last end of a batch's intervals; what runs lasts until now."""
    all_of_it = floor.of_batch(Interval, batch_id)
    starts = [interval.start_us for interval in all_of_it]
    ends = [now_us if interval.end_us is None else interval.end_us for interval in all_of_it]
    return min(starts, default=0), max(ends, default=0)
