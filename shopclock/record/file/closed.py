"""Closed batches: which a press touches, and their stage rows, kept so that trends read nothing else."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import fields
from typing import Any

import sqlalchemy as sa

from shopclock.record.file.schema import STAGE_ROW
from shopclock.shop.figures.trend_rows import WHOLE, TrendRow, rows_of_batch
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Batch, Entity, Interval, Leaving, Step, Tally


def rows_to_write(
    floor: ShopFloor, changes: Sequence[Change], intervals: Collection[int], now_us: int
) -> dict[int, tuple[TrendRow, ...]]:
    """Return the stage rows that a press changes, batch by batch; none for a batch open again.

    `intervals` are those whose labour or shares it changed. Derived rows stand on the floor.
    """
    things = [t for c in changes for t in (c.before, c.after) if t is not None]
    things += [i for n in intervals if (i := floor.find(Interval, n)) is not None]
    found: dict[int, tuple[TrendRow, ...]] = {t.id: () for t in things if isinstance(t, Batch) and _closed(t)}
    for batch_id in batches_of(things, floor):
        if _closed(floor.find(Batch, batch_id)) and floor.steps(batch_id):
            found[batch_id] = rows_of_batch(floor, batch_id, now_us)
    return found


def _closed(batch: Batch | None) -> bool:
    return batch is not None and batch.closed_us is not None


def batches_of(things: Iterable[Entity], floor: ShopFloor) -> set[int]:
    """Return the batches on the floor that things belong to, or are."""
    found: set[int] = set()
    for thing in things:
        if isinstance(thing, Batch):
            found.add(thing.id)
        elif isinstance(thing, Tally | Leaving) and (step := floor.find(Step, thing.step_id)):
            found.add(step.batch_id)
        elif (number := getattr(thing, "batch_id", None)) is not None:
            found.add(number)
    return {number for number in found if floor.find(Batch, number) is not None}


def kept_rows(connection: sa.Connection, stage_id: int | None = None) -> tuple[TrendRow, ...]:
    """Return the rows of all closed batches at all stages, or at one, as they were written at each closing.

    Those of whole batches are the ones at stage WHOLE.
    """
    some = kept_values(connection, stage_id)
    return tuple(
        [
            TrendRow(
                batch,
                pattern,
                stage,
                method,
                mixed == 1,
                complete == 1,
                *(*sums, untimed == 1, marked, maker, notes == 1),
            )
            for batch, pattern, stage, method, mixed, complete, *sums, untimed, marked, maker, notes in some
        ]
    )


def kept_values(connection: sa.Connection, stage_id: int | None = None) -> list[tuple[Any, ...]]:
    """Return the same as plain values, in the order of StageRow's fields: for many, which a table is made of."""
    wanted = STAGE_ROW.c.stage_id != WHOLE if stage_id is None else STAGE_ROW.c.stage_id == stage_id
    found = connection.execute(sa.select(*_COLUMNS).where(wanted).order_by(STAGE_ROW.c.id))
    rows = list(found.cursor.fetchall())  # whole numbers alone: there is nothing to convert
    found.close()
    return rows


_COLUMNS = [STAGE_ROW.c[f.name] for f in fields(TrendRow)]
