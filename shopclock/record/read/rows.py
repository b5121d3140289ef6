"""Rows straight from the file for figures, sheets and screens: intervals, pieces, batches, readings."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from typing import Any

import sqlalchemy as sa

from shopclock.record.file.codec import from_row
from shopclock.record.file.schema import COVERED, LABOUR, SHARE, TABLES
from shopclock.shop.figures.sessions import WorkedSpan
from shopclock.shop.setup.reading_kinds import LIMITS, limit
from shopclock.shop.values.entities import (
    Batch,
    ImportFile,
    ImportRow,
    Interval,
    Load,
    Maker,
    Method,
    Note,
    Pattern,
    Piece,
    Reading,
    ReadingKind,
    Stage,
    Step,
    Tool,
)
from shopclock.shop.values.kinds import Certainty, Kind, Outcome, WorkKind, worse
from shopclock.shop.values.measure import Measure
from shopclock.shop.work.readings import beyond

AT_ONCE = 1000
_BATCH, _STEP, _PIECE, _INTERVAL = (TABLES[kind] for kind in (Batch, Step, Piece, Interval))
_PATTERN, _STAGE, _METHOD, _MAKER = (TABLES[kind] for kind in (Pattern, Stage, Method, Maker))
_LOAD, _TOOL, _READING, _KIND = (TABLES[kind] for kind in (Load, Tool, Reading, ReadingKind))
_FROM, _FROM_BATCH, _CAUSE = _PIECE.alias("from_piece"), _BATCH.alias("from_batch"), _STEP.alias("cause")


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
    note: str
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
    note: str
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


def worked(connection: sa.Connection, since_us: int) -> tuple[WorkedSpan, ...]:
    """Return the ended stretches that a person was needed for and that began at an instant or later, by start."""
    query = (
        sa.select(_INTERVAL.c.start_us, _INTERVAL.c.end_us, LABOUR.c.us)
        .join(LABOUR, LABOUR.c.interval_id == _INTERVAL.c.id)
        .where(_INTERVAL.c.start_us >= since_us, _INTERVAL.c.end_us.is_not(None))
        .where(_INTERVAL.c.kind.in_([kind.value for kind in Kind if kind.attended]))
        .order_by(_INTERVAL.c.start_us, _INTERVAL.c.id)
    )
    return tuple(WorkedSpan(row.start_us, row.end_us, row.us) for row in connection.execute(query))


def pieces(connection: sa.Connection) -> Iterator[PieceRow]:
    """Yield all pieces, batch by batch in the order they were started, by mark."""
    spent = _labour_of_pieces(connection)
    for row in connection.execute(_pieces()).mappings():
        values = {name: value for name, value in row.items() if name != "id"}
        values["outcome"] = Outcome(row["outcome"]) if row["outcome"] is not None else None
        values["second"], values["set_aside"] = bool(row["second"]), bool(row["set_aside"])
        run, setup, rework = (
            spent.get((row["id"], work), 0) for work in (WorkKind.RUN, WorkKind.SETUP, WorkKind.REWORK)
        )
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
            _noted("piece_id", _PIECE.c.id),
        )
        .join(_BATCH, _BATCH.c.id == _PIECE.c.batch_id)
        .join(_PATTERN, _PATTERN.c.id == _BATCH.c.pattern_id)
        .outerjoin(_STEP, _STEP.c.id == _PIECE.c.lost_step_id)
        .outerjoin(_FROM, _FROM.c.id == _PIECE.c.from_piece_id)
        .outerjoin(_FROM_BATCH, _FROM_BATCH.c.id == _FROM.c.batch_id)
        .order_by(_BATCH.c.started_us, _BATCH.c.id, _PIECE.c.position, _PIECE.c.id)
    )


def _labour_of_pieces(connection: sa.Connection) -> dict[tuple[int, WorkKind], int]:
    query = (
        sa.select(SHARE.c.piece_id, _INTERVAL.c.work, sa.func.sum(SHARE.c.us))
        .join(_INTERVAL, _INTERVAL.c.id == SHARE.c.interval_id)
        .group_by(SHARE.c.piece_id, _INTERVAL.c.work)
    )
    return {(piece, WorkKind(work)): us for piece, work, us in connection.execute(query)}


def batches(connection: sa.Connection) -> Iterator[BatchRow]:
    """Yield all batches in the order they were started."""
    ends = _ends(connection)
    labour = _labour_of_batches(connection)
    plain = ("id", "name", "pattern_id", "started_us", "closed_us", "next_time")
    query = (
        sa.select(
            *(_BATCH.c[name] for name in plain), _PATTERN.c.name.label("pattern"), _noted("batch_id", _BATCH.c.id)
        )
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


@dataclass(frozen=True, slots=True)
class IntervalRow:
    """One interval with the names that it is told by; "" where it has none.

    `pieces` are marks, `note` what was noted about it, `notes` the file and row of old notes that it was made of,
    `tool` and `setting` those of the load it lay in. What still runs has neither an end nor labour, a wait 0 labour.
    """

    id: int
    uuid: str
    batch_id: int | None
    stage_id: int
    method_id: int | None
    batch: str
    pattern: str
    stage: str
    step: str
    method: str
    maker: str
    kind: Kind
    work: WorkKind
    cause: str
    pieces: tuple[str, ...]
    start_us: int
    end_us: int | None
    certainty: Certainty
    together: bool
    labour_us: int | None
    notes: str
    tool: str = ""
    setting: str = ""
    load_id: int | None = None
    note: str = ""


def intervals(connection: sa.Connection, *, running: bool = False) -> Iterator[IntervalRow]:
    """Yield all intervals, or those that run, by their start, a thousand in memory at a time."""
    query = _intervals().where(_INTERVAL.c.end_us.is_(None)) if running else _intervals()
    result = connection.execute(query, execution_options={"yield_per": AT_ONCE})
    names = list(result.keys())
    for some in result.partitions():
        marks = _marks(connection, [row[0] for row in some])
        for row in some:
            yield _interval_row(dict(zip(names, row, strict=True)), marks.get(row[0], ()))


def _intervals() -> sa.Select[tuple[object, ...]]:
    plain = ("id", "uuid", "batch_id", "stage_id", "method_id", "kind", "work", "start_us", "end_us", "load_id")
    joined = (
        _INTERVAL.join(_STAGE, _STAGE.c.id == _INTERVAL.c.stage_id)
        .join(_MAKER, _MAKER.c.id == _INTERVAL.c.maker_id)
        .outerjoin(_BATCH, _BATCH.c.id == _INTERVAL.c.batch_id)
        .outerjoin(_PATTERN, _PATTERN.c.id == _BATCH.c.pattern_id)
        .outerjoin(_STEP, _STEP.c.id == _INTERVAL.c.step_id)
        .outerjoin(_METHOD, _METHOD.c.id == _INTERVAL.c.method_id)
        .outerjoin(_CAUSE, _CAUSE.c.id == _INTERVAL.c.cause_step_id)
        .outerjoin(_LOAD, _LOAD.c.id == _INTERVAL.c.load_id)
        .outerjoin(_TOOL, _TOOL.c.id == _LOAD.c.tool_id)
        .outerjoin(LABOUR, LABOUR.c.interval_id == _INTERVAL.c.id)
    )
    return (
        sa.select(
            *(_INTERVAL.c[name] for name in (*plain, "start_sure", "end_sure", "together")),
            or_empty(_BATCH.c.name, "batch"),
            or_empty(_PATTERN.c.name, "pattern"),
            _STAGE.c.name.label("stage"),
            or_empty(_STEP.c.name, "step"),
            or_empty(_METHOD.c.name, "method"),
            _MAKER.c.name.label("maker"),
            or_empty(_CAUSE.c.name, "cause"),
            or_empty(_TOOL.c.name, "tool"),
            or_empty(_LOAD.c.setting, "setting"),
            LABOUR.c.us.label("labour_us"),
            or_empty(_notes(), "notes"),
            _noted("interval_id", _INTERVAL.c.id),
            or_empty(_noted_before(), "noted_before"),
        )
        .select_from(joined)
        .order_by(_INTERVAL.c.start_us, _INTERVAL.c.id)
    )


def _noted(about: str, number: sa.ColumnElement[int]) -> sa.Label[str]:
    """Return all that was noted about something, one after the other."""
    note = TABLES[Note]
    told = sa.select(note.c.text).where(note.c[about] == number).order_by(note.c.at_us, note.c.id).subquery()
    return or_empty(sa.select(sa.func.group_concat(told.c.text, "; ")).scalar_subquery(), "note")


def _noted_before() -> sa.ScalarSelect[str]:
    """Return what the rows of old notes that an interval was made of say about it."""
    row = TABLES[ImportRow]
    told = sa.select(row.c.note).where(row.c.interval_id == _INTERVAL.c.id, row.c.note != "").order_by(row.c.id)
    return sa.select(sa.func.group_concat(told.subquery().c.note, "; ")).scalar_subquery()


def _notes() -> sa.ScalarSelect[str]:
    """Return the file and row that an interval was made of; where it is two joined, of the first."""
    file, row = TABLES[ImportFile], TABLES[ImportRow]
    return (
        sa.select(file.c.name + ", row " + sa.cast(row.c.row, sa.Text))
        .join(row, row.c.import_file_id == file.c.id)
        .where(row.c.interval_id == _INTERVAL.c.id)
        .order_by(row.c.id)
        .limit(1)
        .scalar_subquery()
    )


def or_empty(column: sa.ColumnElement[str], name: str) -> sa.Label[str]:
    """Return a text of what may not be there."""
    return sa.func.coalesce(column, "").label(name)


def _marks(connection: sa.Connection, numbers: list[Any]) -> dict[Any, tuple[str, ...]]:
    """Read the marks that these intervals cover, in order; most cover the same pieces as others do."""
    covered = COVERED[Interval].c
    these = covered.interval_id.in_(numbers)
    rows = _plain(connection, sa.select(covered.interval_id, covered.piece_id).where(these))
    named = sa.select(_PIECE.c.id, _PIECE.c.mark, _PIECE.c.position).where(
        _PIECE.c.id.in_(sa.select(covered.piece_id).where(these))
    )
    places = {piece: (place, piece, mark) for piece, mark, place in _plain(connection, named)}
    told: dict[tuple[int, ...], tuple[str, ...]] = {}
    found = {}
    for number, some in groupby(sorted(rows), key=itemgetter(0)):
        pieces = tuple([piece for _, piece in some])
        if pieces not in told:
            told[pieces] = tuple([mark for _, _, mark in sorted(places[piece] for piece in pieces)])
        found[number] = told[pieces]
    return found


def _plain(connection: sa.Connection, query: sa.Select[Any]) -> list[tuple[Any, ...]]:
    """Return rows of numbers and texts as SQLite gives them: there is nothing to convert."""
    result = connection.execute(query)
    rows = list(result.cursor.fetchall())
    result.close()
    return rows


def _interval_row(values: dict[str, Any], marks: tuple[str, ...]) -> IntervalRow:
    """Make a row of its columns; they are taken out of `values`."""
    kind = values["kind"] = _KINDS[values["kind"]]
    values["work"] = _WORKS[values["work"]]
    values["certainty"] = worse(_SURE[values.pop("start_sure")], _SURE[values.pop("end_sure")])
    values["together"] = values["together"] == 1
    values["note"] = "; ".join(said for said in (values.pop("noted_before"), values["note"]) if said)
    if values["end_us"] is not None and not kind.attended:
        values["labour_us"] = 0
    return IntervalRow(pieces=marks, **values)


_KINDS = {str(kind): kind for kind in Kind}
_WORKS = {str(work): work for work in WorkKind}
_SURE = {str(sure): sure for sure in Certainty}


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading with the names that it is told by; mark and number are "" for a whole load.

    `outside` says how it lies outside its limits, "" when it doesn't.
    """

    batch_id: int
    batch: str
    pattern: str
    mark: str
    number: str
    stage: str
    step: str
    name: str
    measured: Measure
    target: Measure | None
    low: Measure | None
    high: Measure | None
    outside: str
    common_practice: bool
    at_us: int


def last_measured(connection: sa.Connection, kind_id: int, batch_id: int) -> Measure | None:
    """Return the newest value of a kind that was measured in another batch than this one."""
    query = (
        sa.select(_READING.c.measured, _READING.c.unit)
        .join(_STEP, _STEP.c.id == _READING.c.step_id)
        .where(_READING.c.kind_id == kind_id, _STEP.c.batch_id != batch_id)
        .order_by(_READING.c.at_us.desc(), _READING.c.id.desc())
        .limit(1)
    )
    row = connection.execute(query).one_or_none()
    return Measure(row.measured, row.unit) if row is not None else None


def readings(connection: sa.Connection) -> Iterator[ReadingRow]:
    """Yield all readings in the order they were taken."""
    for row in connection.execute(_readings()).mappings():
        yield _row(row)


def _readings() -> sa.Select[tuple[object, ...]]:
    return (
        sa.select(
            *(_READING.c[name] for name in ("measured", "unit", "target", "target_unit", "at_us")),
            *(column.label(f"kind_{column.name}") for column in _KIND.columns),
            _STEP.c.batch_id,
            _BATCH.c.name.label("batch"),
            _PATTERN.c.name.label("pattern"),
            or_empty(_PIECE.c.mark, "mark"),
            or_empty(_PIECE.c.number, "number"),
            _STAGE.c.name.label("stage"),
            _STEP.c.name.label("step"),
        )
        .join(_KIND, _KIND.c.id == _READING.c.kind_id)
        .join(_STEP, _STEP.c.id == _READING.c.step_id)
        .join(_STAGE, _STAGE.c.id == _STEP.c.stage_id)
        .join(_BATCH, _BATCH.c.id == _STEP.c.batch_id)
        .join(_PATTERN, _PATTERN.c.id == _BATCH.c.pattern_id)
        .outerjoin(_PIECE, _PIECE.c.id == _READING.c.piece_id)
        .order_by(_READING.c.at_us, _READING.c.id)
    )


def _row(row: sa.RowMapping) -> ReadingRow:
    kind = from_row(ReadingKind, {name.removeprefix("kind_"): row[name] for name in row if name.startswith("kind_")})
    measured = Measure(row["measured"], row["unit"])
    low, _, high = (limit(kind, name) for name in LIMITS)
    plain = ("batch_id", "batch", "pattern", "mark", "number", "stage", "step", "at_us")
    return ReadingRow(
        **{name: row[name] for name in plain},
        name=kind.name,
        measured=measured,
        target=Measure(row["target"], row["target_unit"]) if row["target"] is not None else None,
        low=low,
        high=high,
        outside=beyond(kind, measured),
        common_practice=kind.common_practice,
    )
