"""Reading for figures, screens and sheets: rows straight from the file, the floor left as it is."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import sqlalchemy as sa

from shopclock.record.interval_rows import or_empty
from shopclock.record.schema import LABOUR, SHARE, TABLES
from shopclock.shop.kinds import Kind, Outcome, Work
from shopclock.shop.sessions import Worked
from shopclock.shop.values import Batch, Interval, Pattern, Piece, Step


@dataclass(frozen=True, slots=True)
class PieceRow:
    """One piece, how it ended, and the labour that it got, in microseconds.

    `lost_at` is the step where it was lost, `from_piece` the batch and mark it was cut down from.
    """

    batch_id: int
    batch: str
    pattern: str
    mark: str
    number: str
    outcome: Outcome | None
    second: bool
    set_aside: bool
    lost_at: str
    reason: str
    ended_us: int | None
    from_piece: str
    run_us: int
    setup_us: int
    rework_us: int


@dataclass(frozen=True, slots=True)
class BatchRow:
    """One batch: its pieces by how they ended, and the labour of its ended intervals."""

    id: int
    name: str
    pattern_id: int
    pattern: str
    started_us: int
    closed_us: int | None
    next_time: str
    pieces: int
    finished: int
    seconds: int
    scrapped: int
    kept: int
    cut_down: int
    labour_us: int

    @property
    def per_finished_us(self) -> int | None:
        """Everything spent over the finished pieces, to the microsecond; nothing where none finished."""
        return round(self.labour_us / self.finished) if self.finished else None


_BATCH, _STEP, _PIECE, _INTERVAL = (TABLES[kind] for kind in (Batch, Step, Piece, Interval))
_PATTERN = TABLES[Pattern]
_FROM, _FROM_BATCH = _PIECE.alias("from_piece"), _BATCH.alias("from_batch")


def worked(connection: sa.Connection, since_us: int) -> tuple[Worked, ...]:
    """Return the ended stretches that a person was needed for and that began at an instant or later, by start."""
    query = (
        sa.select(_INTERVAL.c.start_us, _INTERVAL.c.end_us, LABOUR.c.us)
        .join(LABOUR, LABOUR.c.interval_id == _INTERVAL.c.id)
        .where(_INTERVAL.c.start_us >= since_us, _INTERVAL.c.end_us.is_not(None))
        .where(_INTERVAL.c.kind.in_([kind.value for kind in Kind if kind.attended]))
        .order_by(_INTERVAL.c.start_us, _INTERVAL.c.id)
    )
    return tuple(Worked(row.start_us, row.end_us, row.us) for row in connection.execute(query))


def pieces(connection: sa.Connection) -> Iterator[PieceRow]:
    """Yield all pieces, batch by batch in the order they were started, by mark."""
    spent = _labour_of_pieces(connection)
    for row in connection.execute(_pieces()).mappings():
        values = {name: value for name, value in row.items() if name != "id"}
        values["outcome"] = Outcome(row["outcome"]) if row["outcome"] is not None else None
        values["second"], values["set_aside"] = bool(row["second"]), bool(row["set_aside"])
        run, setup, rework = (spent.get((row["id"], work), 0) for work in (Work.RUN, Work.SETUP, Work.REWORK))
        yield PieceRow(**values, run_us=run, setup_us=setup, rework_us=rework)


def _pieces() -> sa.Select[tuple[object, ...]]:
    plain = ("id", "batch_id", "mark", "number", "outcome", "second", "set_aside", "reason", "ended_us")
    return (
        sa.select(
            *(_PIECE.c[name] for name in plain),
            _BATCH.c.name.label("batch"),
            _PATTERN.c.name.label("pattern"),
            or_empty(_STEP.c.name, "lost_at"),
            or_empty(_FROM_BATCH.c.name + " " + _FROM.c.mark, "from_piece"),
        )
        .join(_BATCH, _BATCH.c.id == _PIECE.c.batch_id)
        .join(_PATTERN, _PATTERN.c.id == _BATCH.c.pattern_id)
        .outerjoin(_STEP, _STEP.c.id == _PIECE.c.lost_step_id)
        .outerjoin(_FROM, _FROM.c.id == _PIECE.c.from_piece_id)
        .outerjoin(_FROM_BATCH, _FROM_BATCH.c.id == _FROM.c.batch_id)
        .order_by(_BATCH.c.started_us, _BATCH.c.id, _PIECE.c.position, _PIECE.c.id)
    )


def _labour_of_pieces(connection: sa.Connection) -> dict[tuple[int, Work], int]:
    query = (
        sa.select(SHARE.c.piece_id, _INTERVAL.c.work, sa.func.sum(SHARE.c.us))
        .join(_INTERVAL, _INTERVAL.c.id == SHARE.c.interval_id)
        .group_by(SHARE.c.piece_id, _INTERVAL.c.work)
    )
    return {(piece, Work(work)): us for piece, work, us in connection.execute(query)}


def batches(connection: sa.Connection) -> Iterator[BatchRow]:
    """Yield all batches in the order they were started."""
    ends = _ends(connection)
    labour = _labour_of_batches(connection)
    plain = ("id", "name", "pattern_id", "started_us", "closed_us", "next_time")
    query = (
        sa.select(*(_BATCH.c[name] for name in plain), _PATTERN.c.name.label("pattern"))
        .join(_PATTERN, _PATTERN.c.id == _BATCH.c.pattern_id)
        .order_by(_BATCH.c.started_us, _BATCH.c.id)
    )
    for row in connection.execute(query).mappings():
        end = ends[row["id"]]
        yield BatchRow(
            **row,
            pieces=sum(end.values()),
            finished=end[Outcome.FINISHED] + end[Outcome.SECOND],
            seconds=end[Outcome.SECOND],
            scrapped=end[Outcome.SCRAPPED],
            kept=end[Outcome.KEPT],
            cut_down=end[Outcome.CUT_DOWN],
            labour_us=labour.get(row["id"], 0),
        )


def _ends(connection: sa.Connection) -> dict[int, dict[Outcome | None, int]]:
    """Count each batch's pieces by how they ended; those still living under nothing."""
    query = sa.select(_PIECE.c.batch_id, _PIECE.c.outcome, sa.func.count()).group_by(
        _PIECE.c.batch_id, _PIECE.c.outcome
    )
    found: dict[int, dict[Outcome | None, int]] = defaultdict(lambda: defaultdict(int))
    for batch_id, outcome, n in connection.execute(query):
        found[batch_id][Outcome(outcome) if outcome is not None else None] = n
    return found


def _labour_of_batches(connection: sa.Connection) -> dict[int, int]:
    query = (
        sa.select(_INTERVAL.c.batch_id, sa.func.sum(LABOUR.c.us).label("us"))
        .join(_INTERVAL, _INTERVAL.c.id == LABOUR.c.interval_id)
        .group_by(_INTERVAL.c.batch_id)
    )
    return {row.batch_id: row.us for row in connection.execute(query)}
