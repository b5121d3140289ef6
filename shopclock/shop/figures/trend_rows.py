"""Rows for trends: a batch at a stage by one method, a batch as a whole, and what is usual there."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from statistics import median, quantiles

from shopclock.shop.figures.batch_figures import minutes_of, passed_pieces, rows_by_stage
from shopclock.shop.figures.piece_labour import PieceLabour, piece_labour
from shopclock.shop.figures.untimed import at_least
from shopclock.shop.state.shop_floor import Memo, ShopFloor
from shopclock.shop.values.entities import Batch, ImportRow, Interval, Tally
from shopclock.shop.values.kinds import MarkedBy, Outcome, StepState, WorkKind
from shopclock.shop.work.piece_progress import order_of, through

MOSTLY = 0.9
LAST = 8
ENOUGH = 4
WHOLE = 0
"""Stands for a stage in the rows of whole batches: all stages together."""


@dataclass(frozen=True, slots=True)
class TrendRow:
    """Labour of the passed pieces of a batch at a stage by one method and one maker, in microseconds; instants UTC.

    `method_id` is nothing where the stage has no methods; `mixed` are pieces worked by several.
    `complete`: every living piece of the batch has passed. `middle_us` is the middle of its
    labour, `first_us` its first start. `shared_us` ran together with other work by hand. `untimed`:
    a part of it was done without being timed. `pieces` is 0 only for a whole batch (`stage_id` WHOLE)
    of which nothing finished. `marked` of its pieces were marked done one by one. `maker_id` is nothing for
    pieces that several makers worked. `from_notes`: a part of it came in with old notes.
    """

    batch_id: int
    pattern_id: int
    stage_id: int
    method_id: int | None
    mixed: bool
    complete: bool
    pieces: int
    run_us: int
    setup_us: int
    rework_us: int
    estimated_us: int
    shared_us: int
    first_us: int
    middle_us: int
    untimed: bool = False
    marked: int = 0
    maker_id: int | None = None
    from_notes: bool = False

    @property
    def per_piece_min(self) -> float:
        """Run minutes per passed piece; 0 where there is none."""
        return self.run_us / self.pieces / 60e6 if self.pieces else 0.0


def trend_rows(floor: ShopFloor, batch_id: int, now_us: int, only_stage: int | None = None) -> tuple[TrendRow, ...]:
    """Work out a batch's rows, a stage's methods and makers apart; of one stage alone if it is given."""
    rows = piece_labour(floor, batch_id, now_us)
    by_stage, found = rows_by_stage(rows), []
    intervals = floor.of_batch(Interval, batch_id)
    for stage, passed in passed_pieces(floor, batch_id, rows).items():
        if only_stage not in (None, stage):
            continue
        labour = by_stage.get(stage, [])
        own = [interval for interval in intervals if interval.stage_id == stage]
        for (method, mixed, maker), pieces in _by_way(labour, passed).items():
            found.append(
                TrendRow(
                    batch_id=batch_id,
                    pattern_id=floor.get(Batch, batch_id).pattern_id,
                    stage_id=stage,
                    method_id=method,
                    mixed=mixed,
                    complete=_complete(floor, batch_id, stage),
                    pieces=len(pieces),
                    untimed=_untimed(floor, batch_id, stage),
                    marked=len(pieces & _marked(floor, batch_id, stage)),
                    maker_id=maker,
                    from_notes=_from_notes(floor, own),
                    **_sums([one for one in labour if one.piece_id in pieces]),
                )
            )
    return tuple(found)


def _by_way(rows: Iterable[PieceLabour], passed: set[int]) -> dict[tuple[int | None, bool, int | None], set[int]]:
    """Sort passed pieces by method, else mixed, and by maker, else none: by what has nine tenths of their run."""
    methods: dict[int, dict[int | None, int]] = defaultdict(lambda: defaultdict(int))
    makers: dict[int, dict[int | None, int]] = defaultdict(lambda: defaultdict(int))
    for row in rows:
        if row.work is WorkKind.RUN and row.piece_id in passed:
            methods[row.piece_id][row.method_id] += row.us
            makers[row.piece_id][row.maker_id] += row.us
    found: dict[tuple[int | None, bool, int | None], set[int]] = defaultdict(set)
    for piece, by_method in methods.items():
        (method, mixed), (maker, _) = _mostly(by_method), _mostly(makers[piece])
        found[method, mixed, maker].add(piece)
    return found


def _mostly(by: Mapping[int | None, int]) -> tuple[int | None, bool]:
    """Return what has nine tenths of some labour; nothing, and that it is mixed, where none has."""
    one, most = max(by.items(), key=lambda item: item[1])
    return (None, True) if most < MOSTLY * sum(by.values()) else (one, False)


def all_makers(rows: Iterable[TrendRow]) -> tuple[TrendRow, ...]:
    """Put the rows of several makers together: one for each batch, stage and method, in the order they came.

    The middle of the labour is that of the parts, by their run.
    """
    parts: dict[tuple[int, int, int | None, bool], list[TrendRow]] = defaultdict(list)
    for row in rows:
        parts[row.batch_id, row.stage_id, row.method_id, row.mixed].append(row)
    return tuple(_together(own) if len(own) > 1 else own[0] for own in parts.values())


def _together(own: Sequence[TrendRow]) -> TrendRow:
    first_us, run_us = min(row.first_us for row in own), sum(row.run_us for row in own)
    weights = [row.run_us for row in own] if run_us else [1] * len(own)
    offsets = sum((row.middle_us - first_us) * weight for row, weight in zip(own, weights, strict=True))
    return replace(
        own[0],
        pieces=sum(row.pieces for row in own),
        run_us=run_us,
        setup_us=sum(row.setup_us for row in own),
        rework_us=sum(row.rework_us for row in own),
        estimated_us=sum(row.estimated_us for row in own),
        shared_us=sum(row.shared_us for row in own),
        first_us=first_us,
        middle_us=first_us + offsets // sum(weights),
        untimed=any(row.untimed for row in own),
        marked=sum(row.marked for row in own),
        maker_id=None,
        from_notes=any(row.from_notes for row in own),
    )


def of_maker(rows: Iterable[TrendRow], maker_id: int | None) -> tuple[TrendRow, ...]:
    """Return the rows of one maker, or (nothing) those of all together."""
    return all_makers(rows) if maker_id is None else tuple(row for row in rows if row.maker_id == maker_id)


def _marked(floor: ShopFloor, batch_id: int, stage: int) -> set[int]:
    """Return the pieces that were marked done one by one at a stage."""
    steps = {s.id for s in floor.steps(batch_id) if s.stage_id == stage}
    return {t.piece_id for t in floor.of_batch(Tally, batch_id) if t.step_id in steps and t.how is MarkedBy.DONE}


def _complete(floor: ShopFloor, batch_id: int, stage: int) -> bool:
    """Tell whether every living or finished piece is through all steps of a stage."""
    reached = through(floor, batch_id)
    steps = [s for s in order_of(floor, batch_id).timed if s.stage_id == stage]
    staying = [
        piece.id for piece in floor.pieces(batch_id) if piece.outcome in (None, Outcome.FINISHED, Outcome.SECOND)
    ]
    return bool(steps) and all(p in reached[s.id] for s in steps for p in staying)


def _untimed(floor: ShopFloor, batch_id: int, stage: int) -> bool:
    """Tell whether a step of a stage was done before timing began, so that its minutes are too few."""
    return any(s.stage_id == stage and s.state is StepState.NOT_TIMED for s in floor.steps(batch_id))


def middle(rows: Sequence[PieceLabour]) -> int:
    """Return the instant by which half of the labour was done."""
    half, done = sum(row.us for row in rows) / 2, 0
    ordered = sorted(rows, key=lambda row: (row.start_us, row.end_us))
    for row in ordered:
        done += row.us
        if done >= half:
            return (row.start_us + row.end_us) // 2
    return ordered[-1].end_us


@dataclass(frozen=True, slots=True)
class Usual:
    """Minutes per piece as they usually are: the middle half and the median of `n` batches.

    Under four batches there is only `last`. `marked` tells whether any piece in them was marked done one by one.
    """

    n: int
    last_min: float
    low_min: float | None
    median_min: float | None
    high_min: float | None
    marked: bool = True


class LeftOut(StrEnum):
    """Reason for which a row stays out of usual and trends."""

    UNDER_WAY = "under way"
    MIXED = "mixed"
    GUESSED = "guessed"
    SHARED = "shared hands"
    NOT_TIMED = "not timed"
    NONE_FINISHED = "none finished"


def left_out(row: TrendRow) -> LeftOut | None:
    """Tell why a row doesn't count for usual and trends; nothing when it does."""
    if row.mixed:
        return LeftOut.MIXED
    if not row.complete:
        return LeftOut.UNDER_WAY
    if not row.pieces:
        return LeftOut.NONE_FINISHED
    if row.untimed:
        return LeftOut.NOT_TIMED
    if row.estimated_us > row.run_us / 5:
        return LeftOut.GUESSED
    return LeftOut.SHARED if row.shared_us else None


def counts(row: TrendRow) -> bool:
    """Tell whether a row counts for usual and trends: complete, one method, mostly not guessed."""
    return left_out(row) is None


def last_rows(
    rows: Iterable[TrendRow], stage_id: int, method_id: int | None, pattern_id: int | None
) -> tuple[TrendRow, ...]:
    """Return the last 8 rows that count at a stage by a method, oldest first.

    Of the same pattern where it has 4, else of all.
    """
    fitting = sorted(
        (r for r in rows if r.stage_id == stage_id and r.method_id == method_id and counts(r)),
        key=lambda r: r.middle_us,
    )
    own = [row for row in fitting if row.pattern_id == pattern_id]
    return tuple((own if len(own) >= ENOUGH else fitting)[-LAST:])


def usual(rows: Iterable[TrendRow], stage_id: int, method_id: int | None, pattern_id: int | None) -> Usual | None:
    """Return what is usual at a stage by a method over its last 8 batches, or nothing without any."""
    chosen = last_rows(rows, stage_id, method_id, pattern_id)
    if not chosen:
        return None
    values = [row.per_piece_min for row in chosen]
    marked = any(row.marked for row in chosen)
    if len(values) < ENOUGH:
        return Usual(len(values), values[-1], None, None, None, marked)
    low, _, high = quantiles(values, n=4, method="inclusive")
    return Usual(len(values), values[-1], low, median(values), high, marked)


def usual_lately(rows: Iterable[TrendRow], stage_id: int) -> tuple[int | None, Usual | None]:
    """Return the method that a stage was worked by last, in a row that counts if there is one, and what is usual by it.

    Over all patterns; the stage has to have a row.
    """
    own = [row for row in rows if row.stage_id == stage_id]
    method = max(own, key=lambda row: (counts(row), row.middle_us)).method_id
    return method, usual(own, stage_id, method, None)


def rows_of_batch(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[TrendRow, ...]:
    """Work out all rows of a batch: its stages, and the whole of it."""
    whole = whole_row(floor, batch_id, now_us)
    return (*trend_rows(floor, batch_id, now_us), *([whole] if whole is not None else []))


def whole_row(floor: ShopFloor, batch_id: int, now_us: int) -> TrendRow | None:
    """Return what the finished pieces (seconds too) of a batch took, or nothing where there is nothing to say yet.

    Run, set-up and rework of the finished pieces alone: minutes of early stages over seven pieces and of late ones
    over six would add up to no piece that there is. It is `complete` when no piece is still in work, `untimed` when the
    batch is at least what it says. Methods differ from stage to stage, so it has none.
    """
    pieces = floor.pieces(batch_id)
    finished = {p.id for p in pieces if p.outcome is not None and p.outcome.finished}
    complete = all(p.outcome is not None for p in pieces)
    rows = [row for row in piece_labour(floor, batch_id, now_us) if row.us]
    own = [row for row in rows if row.piece_id in finished]
    if not rows or not (own or complete):
        return None
    first_us = min(row.start_us for row in own or rows)
    return TrendRow(
        batch_id=batch_id,
        pattern_id=floor.get(Batch, batch_id).pattern_id,
        stage_id=WHOLE,
        method_id=None,
        mixed=False,
        complete=complete,
        pieces=len(finished) if own else 0,
        untimed=at_least(floor, batch_id, now_us),
        marked=0,
        maker_id=_only_maker(floor.of_batch(Interval, batch_id)),
        from_notes=_from_notes(floor, floor.of_batch(Interval, batch_id)),
        **_sums(own or rows) | {"first_us": first_us},
    )


_IMPORTED: Memo[None, frozenset[int]] = Memo(ImportRow)


def _only_maker(intervals: Iterable[Interval]) -> int | None:
    """Return the maker of these intervals; nothing where several worked."""
    makers = {interval.maker_id for interval in intervals}
    return makers.pop() if len(makers) == 1 else None


def _from_notes(floor: ShopFloor, intervals: Iterable[Interval]) -> bool:
    """Tell whether any of these intervals came in with old notes."""
    memo = floor.memo(_IMPORTED)
    if None not in memo:
        memo[None] = frozenset(row.interval_id for row in floor.all(ImportRow))
    return any(interval.id in memo[None] for interval in intervals)


def _sums(rows: Sequence[PieceLabour]) -> dict[str, int]:
    """Return a row's fields in microseconds over this labour; its first start and middle are those of run."""
    run, sums = [row for row in rows if row.work is WorkKind.RUN], minutes_of(rows)
    return {
        "run_us": sums.run_us,
        "setup_us": sums.setup_us,
        "rework_us": sums.rework_us,
        "estimated_us": sum(row.us for row in run if row.estimated),
        "shared_us": sum(row.us for row in run if row.hands_shared),
        "first_us": min(row.start_us for row in run or rows),
        "middle_us": middle(run or rows),
    }
