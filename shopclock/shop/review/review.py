"""One batch reviewed: where its minutes went stage by stage beside what was usual, its days, its pieces."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from statistics import median
from zoneinfo import ZoneInfo

from shopclock.shop.figures.batch_figures import (
    CUT_DOWN,
    KEPT,
    LOST,
    BatchFigures,
    StageFigures,
    figures,
    passed_pieces,
)
from shopclock.shop.figures.derive import derive, marked_alone
from shopclock.shop.figures.labour import divide
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.figures.trend_rows import LAST, TrendRow, Usual, counts, last_rows, usual
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.wording import shop_time, zone_of
from shopclock.shop.values.entities import Batch, Interval, Piece, Step
from shopclock.shop.values.kinds import Kind, Outcome, WorkKind
from shopclock.shop.work.piece_progress import order_of


class Went(StrEnum):
    """Uses of a batch's minutes, in the words of the chart."""

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
    """A stage in a batch; usual is by the method of most of its pieces."""

    stage_id: int
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
    ran = floor.of_batch(Interval, batch_id)
    first = min((interval.start_us for interval in ran), default=0)
    last = max((now_us if interval.end_us is None else interval.end_us for interval in ran), default=0)
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
        return StageReview(stage.stage_id, stage, None, None)
    earlier = [r for r in rows if r.stage_id == row.stage_id and r.batch_id != batch.id and r.middle_us < row.middle_us]
    found = usual(earlier, stage.stage_id, row.method_id, batch.pattern_id)
    whole = len(own) == 1
    return StageReview(stage.stage_id, stage, found, pace(earlier, row) if whole else None)


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


@dataclass(frozen=True, slots=True)
class DayInterval:
    """A piece of an interval that lies in one day. `labour_us` is what it got of the hands."""

    step_id: int | None
    stage_id: int
    kind: Kind
    start_us: int
    end_us: int
    labour_us: int
    runs: bool


@dataclass(frozen=True, slots=True)
class Day:
    """A day of the shop with what ran on it; `begins_us` and `ends_us` are its midnights."""

    day: date
    begins_us: int
    ends_us: int
    intervals: tuple[DayInterval, ...]

    @property
    def labour_us(self) -> int:
        """All labour of the day."""
        return sum(interval.labour_us for interval in self.intervals)


def days(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[Day, ...]:
    """Return the days on which something of a batch ran, by the shop's calendar; waits count too.

    The labour of an interval over midnight is divided by length; over all days it adds up exactly.
    """
    zone = zone_of(floor)
    all_of_it = floor.of_batch(Interval, batch_id)
    so_far = derive(floor, [i.id for i in all_of_it if i.end_us is None], now_us).labour
    by_day: dict[date, list[DayInterval]] = defaultdict(list)
    for interval in sorted(all_of_it, key=lambda i: (i.start_us, i.id)):
        labour = floor.labour.get(interval.id, so_far.get(interval.id, 0))
        for day, part in _cut(interval, labour, now_us, zone):
            by_day[day].append(part)
    return tuple(
        Day(day, _midnight(day, zone), _midnight(day + timedelta(days=1), zone), tuple(by_day[day]))
        for day in sorted(by_day)
    )


def _cut(interval: Interval, labour_us: int, now_us: int, zone: ZoneInfo) -> list[tuple[date, DayInterval]]:
    """Cut an interval at midnights; one of no length is nothing to show."""
    end = now_us if interval.end_us is None else interval.end_us
    if end <= interval.start_us:
        return []
    cuts = [interval.start_us, *_midnights(interval.start_us, end, zone), end]
    got = divide(labour_us, [b - a for a, b in pairwise(cuts)])
    return [
        (
            shop_time(a, zone).date(),
            DayInterval(interval.step_id, interval.stage_id, interval.kind, a, b, part, interval.end_us is None),
        )
        for (a, b), part in zip(pairwise(cuts), got, strict=True)
    ]


def _midnights(start_us: int, end_us: int, zone: ZoneInfo) -> list[int]:
    day = shop_time(start_us, zone).date()
    found: list[int] = []
    while True:
        day += timedelta(days=1)
        at = _midnight(day, zone)
        if at >= end_us:
            return found
        found.append(at)


def _midnight(day: date, zone: ZoneInfo) -> int:
    at = datetime(day.year, day.month, day.day, tzinfo=zone)
    return round(at.timestamp()) * 1_000_000


@dataclass(frozen=True, slots=True)
class Spread:
    """The run minutes of the pieces that were marked one by one at a stage: mark and minutes, by mark."""

    stage_id: int
    minutes: tuple[tuple[str, float], ...]

    @property
    def middle_min(self) -> float:
        """The median of the pieces' minutes."""
        return median(each for _, each in self.minutes)

    @property
    def shortest(self) -> tuple[str, float]:
        """The piece that took least, the first by mark, and its minutes."""
        return min(self.minutes, key=lambda row: row[1])

    @property
    def longest(self) -> tuple[str, float]:
        """The piece that took most, the first by mark, and its minutes."""
        return max(self.minutes, key=lambda row: row[1])


@dataclass(frozen=True, slots=True)
class Loss:
    """A piece that did not finish: how, at which step, why, and all the labour that went into it."""

    piece: Piece
    outcome: Outcome
    step: Step | None
    reason: str
    us: int


def spreads(floor: ShopFloor, batch_id: int, now_us: int, least: int = 2) -> tuple[Spread, ...]:
    """Return the spread at each stage worked one by one, by route, where `least` pieces or more were marked."""
    rows = piece_labour(floor, batch_id, now_us)
    passed = passed_pieces(floor, batch_id, rows)
    marked = _marked(floor, batch_id)
    run: dict[tuple[int, int], int] = defaultdict(int)
    for row in rows:
        if row.work is WorkKind.RUN:
            run[row.stage_id, row.piece_id] += row.us
    found = []
    for stage, pieces in marked.items():
        own = [p for p in floor.pieces(batch_id) if p.id in pieces & passed.get(stage, set())]
        if len(own) >= least:
            found.append(Spread(stage, tuple((p.mark, run[stage, p.id] / 60e6) for p in own)))
    return tuple(found)


def _marked(floor: ShopFloor, batch_id: int) -> dict[int, set[int]]:
    """Return the pieces marked one by one at every step of a stage, each with a stretch of its own."""
    done = marked_alone(floor, batch_id)
    every = {piece.id for piece in floor.pieces(batch_id)}
    found: dict[int, set[int]] = {}
    for step in order_of(floor, batch_id).timed:
        here = {piece for piece in every if step.one_by_one and (step.id, piece) in done}
        found[step.stage_id] = found.get(step.stage_id, every) & here
    return found


def losses(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[Loss, ...]:
    """Return the pieces that did not finish, by mark."""
    got: dict[int, int] = defaultdict(int)
    for row in piece_labour(floor, batch_id, now_us):
        got[row.piece_id] += row.us
    return tuple(
        Loss(piece, piece.outcome, floor.find(Step, piece.lost_step_id or 0), piece.reason, got[piece.id])
        for piece in floor.pieces(batch_id)
        if piece.outcome is not None and not piece.outcome.finished
    )


def right_first_time(floor: ShopFloor, batch_id: int, now_us: int) -> int:
    """Count the pieces that finished as they should, never worked anew."""
    reworked = {row.piece_id for row in piece_labour(floor, batch_id, now_us) if row.work is WorkKind.REWORK}
    return sum(piece.outcome is Outcome.FINISHED and piece.id not in reworked for piece in floor.pieces(batch_id))
