"""The pace line: minutes so far in this batch against what is usual."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.texts import each_text, usual_text
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.state.wording import minutes_text
from shopclock.shop.values.kinds import MarkedBy, StepState, WorkKind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shopclock.shop.figures.piece_labour import PieceLabour
    from shopclock.shop.figures.trend_rows import Usual
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Batch, Interval, Step

DOT = "  ·  "


@dataclass(frozen=True, slots=True)
class PaceLine:
    """The line, and the share of the stage that is done, if anything is known to measure it by."""

    line: str
    share: float | None


UsualAt = Callable[[int, int | None, int | None], "Usual | None"]
"""What is usual at a stage by a method for a pattern, each by its number."""


class Usuals:
    """What is usual at the steps of open batches."""

    def __init__(self, usual_at: UsualAt) -> None:
        self._usual_at = usual_at

    def of(self, step: Step, batch: Batch, method_id: int | None) -> Usual | None:
        """Return what is usual at a step's stage by a method, for the pattern of a batch."""
        return self._usual_at(step.stage_id, method_id, batch.pattern_id)


def route_us(floor: ShopFloor, step: Step) -> int | None:
    """Return what the route says of a step's stage, a piece: all its steps added up."""
    steps = [s for s in floor.steps(step.batch_id) if s.stage_id == step.stage_id and s.state is StepState.TIMED]
    return sum(s.minutes_us or 0 for s in steps) or None


def pace(floor: ShopFloor, interval: Interval, step: Step, usually: Usual | None, now_us: int) -> PaceLine:
    """Return the pace of what is on the plate.

    One by one, from the second piece done, it is minutes per piece done; else the minutes of the
    stage in this batch out of about as many as it takes.
    """
    rows = [
        r for r in piece_labour(floor, step.batch_id, now_us) if r.stage_id == step.stage_id and r.work is WorkKind.RUN
    ]
    done_min = sum(row.us for row in rows) / 60e6
    each = _middle(usually, route_us(floor, step))
    whole_min = each * len(floor.living(step.batch_id)) if each is not None else None
    said = usual_text(usually, route_us(floor, step))
    parts = [_of_about(done_min, whole_min), f"{said} {each_text(floor)}" if said else ""]
    so_far = _so_far(floor, step, rows)
    if so_far:
        parts = [f"{so_far} {each_text(floor)} so far", said]
    share = min(1.0, done_min / whole_min) if whole_min else None
    if interval.work is WorkKind.REWORK:
        return PaceLine("", None)
    return PaceLine(DOT.join(part for part in parts if part), share)


def _middle(usually: Usual | None, route: int | None) -> float | None:
    """Return the minutes a piece takes most likely."""
    if usually is not None:
        return usually.median_min if usually.median_min is not None else usually.last_min
    return route / 60e6 if route else None


def _so_far(floor: ShopFloor, step: Step, rows: Iterable[PieceLabour]) -> str:
    done = {t.piece_id for t in floor.tallies_of(step) if t.how is MarkedBy.DONE}
    if not step.one_by_one or len(done) < 2:
        return ""
    minutes = sum(row.us for row in rows if row.piece_id in done and row.step_id == step.id) / len(done) / 60e6
    return minutes_text(minutes)


def _of_about(done_min: float, whole_min: float | None) -> str:
    if whole_min is None:
        return f"{done_min:.0f} min in this batch"
    return f"{done_min:.0f} of about {whole_min:.0f} min in this batch"
