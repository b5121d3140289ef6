"""The rows of intervals, one each, with the names that they are told by."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from operator import itemgetter
from typing import Any

import sqlalchemy as sa

from shopclock.record.schema import COVERED, LABOUR, TABLES
from shopclock.shop.imported import ImportFile, ImportRow
from shopclock.shop.kinds import Certainty, Kind, Work, worse
from shopclock.shop.values import Batch, Interval, Load, Maker, Method, Pattern, Piece, Stage, Step, Tool

AT_ONCE = 1000


@dataclass(frozen=True, slots=True)
class IntervalRow:
    """One interval with the names that it is told by; "" where it has none.

    `pieces` are marks, `notes` the file and row of old notes that it was made of, `tool` and `setting` those of the
    load it lay in. What still runs has neither an end nor labour; a wait has 0 labour.
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
    work: Work
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


_BATCH, _STEP, _PIECE, _INTERVAL = (TABLES[kind] for kind in (Batch, Step, Piece, Interval))
_PATTERN, _STAGE, _METHOD, _MAKER = (TABLES[kind] for kind in (Pattern, Stage, Method, Maker))
_LOAD, _TOOL = TABLES[Load], TABLES[Tool]
_CAUSE = _STEP.alias("cause")


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
        )
        .select_from(joined)
        .order_by(_INTERVAL.c.start_us, _INTERVAL.c.id)
    )


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
    if values["end_us"] is not None and not kind.attended:
        values["labour_us"] = 0
    return IntervalRow(pieces=marks, **values)


_KINDS = {str(kind): kind for kind in Kind}
_WORKS = {str(work): work for work in Work}
_SURE = {str(sure): sure for sure in Certainty}
