"""Floors for the figures of closed batches: the database adds up their stretches, so that many are read at once.

All run at a step is one stretch of its pieces with their shares in sum, all set-up another, all rework a third.
Figures are sums, so they are the same; what rests on single stretches (methods, times, shared hands) isn't there.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import sqlalchemy as sa

from shopclock.record.read.load import OF_THEIR_STEPS, OF_THESE, read
from shopclock.shop.state.shop_floor import Share, ShopFloor
from shopclock.shop.values.entities import Batch, Interval, OrderRule, Piece, Step, Tally

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from shopclock.shop.values.entities import Entity

ALIKE = "step_id, stage_id, work"
"""What the stretches of a batch have in common that are made one."""
ENDED = f"interval.{OF_THESE} AND end_us IS NOT NULL"
FIRSTS = f"id IN (SELECT min(id) FROM interval WHERE {ENDED} GROUP BY batch_id, {ALIKE})"  # noqa: S608  # ours
COVERED = f"""SELECT DISTINCT interval.batch_id, {ALIKE}, piece_id FROM interval
    JOIN interval_piece ON interval_id = interval.id JOIN piece ON piece.id = piece_id
    WHERE {ENDED} ORDER BY position, piece_id"""  # noqa: S608  # ours
SHARES = f"""SELECT batch_id, {ALIKE}, piece_id, sum(us) FROM interval JOIN share ON interval_id = interval.id
    WHERE {ENDED} GROUP BY batch_id, {ALIKE}, piece_id"""  # noqa: S608  # ours


def load_summed(connection: sa.Connection, around: ShopFloor, batches: Collection[int]) -> ShopFloor:
    """Return a floor with these closed batches, whole but for single stretches."""
    floor, found = ShopFloor(), [around.get(Batch, number) for number in batches]
    routes = {batch.route_id for batch in found}
    _put(floor, found)
    _put(floor, (rule for rule in around.all(OrderRule) if rule.route_id in routes))
    _put(floor, read(connection, Step, OF_THESE, batches=batches))
    _put(floor, read(connection, Piece, OF_THESE, batches=batches))
    _put(floor, read(connection, Tally, OF_THEIR_STEPS, batches=batches))
    covered, shares = _covered(connection, batches), _shares(connection, batches)
    for first in read(connection, Interval, FIRSTS, batches=batches):
        alike = (first.batch_id, first.step_id, first.stage_id, first.work)
        floor.put(replace(first, pieces=tuple(covered[alike])))
        floor.shares[first.id] = tuple(shares[alike])
    return floor


def _put(floor: ShopFloor, things: Iterable[Entity]) -> None:
    for thing in things:
        floor.put(thing)


def _covered(connection: sa.Connection, batches: Collection[int]) -> dict[tuple[Any, ...], list[int]]:
    found: dict[tuple[Any, ...], list[int]] = defaultdict(list)
    for *alike, piece in _run(connection, COVERED, batches):
        found[tuple(alike)].append(piece)
    return found


def _shares(connection: sa.Connection, batches: Collection[int]) -> dict[tuple[Any, ...], list[Share]]:
    found: dict[tuple[Any, ...], list[Share]] = defaultdict(list)
    for *alike, piece, us in _run(connection, SHARES, batches):
        found[tuple(alike)].append((piece, us))
    return found


def _run(connection: sa.Connection, query: str, batches: Collection[int]) -> list[tuple[Any, ...]]:
    made = sa.text(query).bindparams(sa.bindparam("batches", expanding=True))
    return [tuple(row) for row in connection.execute(made, {"batches": list(batches)})]
