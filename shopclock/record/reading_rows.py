"""What was measured, straight from the file: the sheet's rows, and the last batch's value."""

from collections.abc import Iterator
from dataclasses import dataclass

import sqlalchemy as sa

from shopclock.record.codec import from_row
from shopclock.record.schema import TABLES
from shopclock.shop.measure import Measure
from shopclock.shop.measured import Reading, ReadingKind
from shopclock.shop.reading_kinds import LIMITS, limit
from shopclock.shop.readings import beyond
from shopclock.shop.values import Batch, Pattern, Piece, Stage, Step

_READING, _KIND, _STEP, _STAGE, _PIECE, _BATCH, _PATTERN = (
    TABLES[kind] for kind in (Reading, ReadingKind, Step, Stage, Piece, Batch, Pattern)
)


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
            sa.func.coalesce(_PIECE.c.mark, "").label("mark"),
            sa.func.coalesce(_PIECE.c.number, "").label("number"),
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
