"""Pieces that come through a stage right the first time, and through all of them."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.shop.figures.batch_figures import passed_pieces
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.values.entities import Step
from shopclock.shop.values.kinds import WorkKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.shop.figures.piece_labour import PieceLabour
    from shopclock.shop.state.shop_floor import ShopFloor


@dataclass(frozen=True, slots=True)
class FirstTime:
    """Of the pieces that came to a stage (passed it, or were lost there), how many needed no rework for it."""

    stage_id: int
    came: int
    right: int

    @property
    def share(self) -> float | None:
        """The share that was right the first time; nothing where none came."""
        return self.right / self.came if self.came else None


def first_time(floor: ShopFloor, batch_id: int, now_us: int) -> tuple[FirstTime, ...]:
    """Return the stages of a batch in the order of its route.

    Rework counts at the stage that caused it, not where it was done.
    """
    rows = piece_labour(floor, batch_id, now_us)
    redone = {(_cause(floor, row), row.piece_id) for row in rows if row.work is WorkKind.REWORK}
    lost = Counter(_stage(floor, p.lost_step_id) for p in floor.pieces(batch_id) if p.lost_step_id is not None)
    passed = passed_pieces(floor, batch_id, rows)
    return tuple(
        FirstTime(stage, len(own) + lost[stage], sum((stage, piece) not in redone for piece in own))
        for stage, own in passed.items()
    )


def _cause(floor: ShopFloor, row: PieceLabour) -> int:
    return row.stage_id if row.cause_step_id is None else _stage(floor, row.cause_step_id)


def _stage(floor: ShopFloor, step_id: int) -> int:
    return floor.get(Step, step_id).stage_id


def all_through(shares: Iterable[float | None]) -> float | None:
    """Return the share that is right the first time at every stage: the product; nothing where no stage has one.

    Source: rolled throughput yield, M. Harry.
    """
    known = [share for share in shares if share is not None]
    return math.prod(known) if known else None
