"""Places of a batch's pieces, as words and as an outline."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Pattern
from shopclock.shop.values.kinds import Outcome, StepState
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.piece_progress import order_of, runs_by_hand, through
from shopclock.views.route_state import RouteState

if TYPE_CHECKING:
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Batch, Piece, Step

DAY_US = 86_400_000_000


def stands_at(floor: ShopFloor, piece: Piece) -> Step | None:
    """The first step that a piece is not through; nothing when it is through all."""
    reached = through(floor, piece.batch_id)
    steps = order_of(floor, piece.batch_id).timed
    return next((step for step in steps if piece.id not in reached[step.id]), None)


def route_look(floor: ShopFloor, batch: Batch) -> RouteState:
    """A batch's route: how far each step is done, and the letters of the living pieces where they stand."""
    steps = [step for step in floor.steps(batch.id) if step.state is not StepState.SKIPPED]
    staying = [p.id for p in floor.pieces(batch.id) if p.living or (p.outcome and p.outcome.finished)]
    reached = through(floor, batch.id)
    fills = tuple(_fill(step, reached[step.id], staying) for step in steps)
    at = _letters(floor, batch)
    marks = tuple((i, spoken(at[step.id])) for i, step in enumerate(steps) if at[step.id])
    said = "; ".join(f"{spoken(at[step.id])} at {step.name}" for step in steps if at[step.id])
    return RouteState(floor.get(Pattern, batch.pattern_id).outline, fills, marks, said, runs_by_hand(floor, batch.id))


def _fill(step: Step, reached: frozenset[int], staying: list[int]) -> float:
    if step.state is StepState.NOT_TIMED:
        return 1.0
    return sum(piece in reached for piece in staying) / len(staying) if staying else 0.0


def _letters(floor: ShopFloor, batch: Batch) -> dict[int, list[str]]:
    """Marks of the living pieces by the step where they stand."""
    found: dict[int, list[str]] = defaultdict(list)
    for piece in floor.living(batch.id):
        step = stands_at(floor, piece)
        if step is not None:
            found[step.id].append(piece.mark)
    return found


def batch_title(floor: ShopFloor, batch: Batch) -> str:
    """Title of a batch: 26-11 Paring 95."""
    return f"{batch.name} {floor.get(Pattern, batch.pattern_id).name}"


def age_text(batch: Batch, now_us: int) -> str:
    """Age of an open batch, in days that have begun."""
    days = max(0, now_us - batch.started_us) // DAY_US + 1
    return f"in {days} day{'s' * (days > 1)}"


def outcome_words(floor: ShopFloor) -> dict[Outcome, str]:
    """Words for each way a piece can end."""
    return {
        Outcome.FINISHED: word(floor, "finished").one,
        Outcome.SECOND: "second",
        Outcome.KEPT: "kept",
        Outcome.SCRAPPED: "lost",
        Outcome.CUT_DOWN: "cut down",
    }
