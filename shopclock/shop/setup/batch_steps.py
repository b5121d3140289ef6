"""Steps that one batch has beside those of its route."""

from typing import Any

from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Stage, Step
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.kinds import StepState


def as_its_stage(stage: Stage) -> dict[str, Any]:
    """Return the fields of a step that knows no more than its stage does: no length, no tool, begun by a press."""
    said = {"stage_id": stage.id, "name": stage.name, "kind": stage.kind, "one_by_one": stage.one_by_one}
    lengths = dict.fromkeys(("wait_us", "minutes_us", "setup_us"))
    begun = {"begins_itself": False, "common_practice": False, "caution": stage.caution}
    tool = {"tool_id": None, "tool_share": 1.0, "setting": ""}
    return {**said, **lengths, **begun, **tool, "coldest_c": None, "warmest_c": None}


def add_batch_step(tx: Transaction, batch: Batch, stage: Stage, after: Step | None) -> Step:
    """Add a step of a stage to this batch alone, after another of its steps or at the start.

    Pieces that are through a later step count as through this one.
    """
    if batch.closed_us is not None:
        raise Refusal(f"{batch.name} is closed. Nothing was added.")
    steps = list(tx.floor.steps(batch.id))
    at = next((i + 1 for i, step in enumerate(steps) if after is not None and step.id == after.id), 0)
    for position, step in enumerate(steps):
        tx.edit(step, position=position if position < at else position + 1)
    return tx.new(
        Step,
        batch_id=batch.id,
        route_step_id=None,
        position=at,
        strand=after.strand if after is not None else "",
        **as_its_stage(stage),
        state=StepState.TIMED,
    )
