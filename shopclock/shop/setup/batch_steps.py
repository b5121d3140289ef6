"""Steps that one batch has beside those of its route."""

from dataclasses import replace

from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, RouteStep, Stage, Step
from shopclock.shop.values.errors import Refusal


def plain_step(stage: Stage, position: int, route_id: int = 0, strand: str = "") -> RouteStep:
    """Return a step that knows no more than its stage does: no length, no tool, begun by a press."""
    return RouteStep(
        route_id=route_id,
        position=position,
        stage_id=stage.id,
        name=stage.name,
        kind=stage.kind,
        one_by_one=stage.one_by_one,
        strand=strand,
        caution=stage.caution,
    )


def add_batch_step(tx: Transaction, batch: Batch, stage: Stage, after: Step | None) -> Step:
    """Add a step of a stage to this batch alone, after another of its steps or at the start.

    Pieces that are through a later step count as through this one.
    """
    if batch.closed_us is not None:
        raise Refusal(f"{batch.name} is closed. Nothing was added.")
    steps = list(tx.floor.steps(batch.id))
    at = next((i + 1 for i, step in enumerate(steps) if after is not None and step.id == after.id), 0)
    for position, step in enumerate(steps):
        tx.change(replace(tx.current(step), position=position if position < at else position + 1))
    strand = after.strand if after is not None else ""
    return tx.add(plain_step(stage, at, strand=strand).in_batch(batch.id))
