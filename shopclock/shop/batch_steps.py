"""Steps that one batch has beside those of its route."""

from shopclock.shop.errors import Refusal
from shopclock.shop.kinds import StepState
from shopclock.shop.turn import Turn
from shopclock.shop.values import Batch, Stage, Step


def add_batch_step(turn: Turn, batch: Batch, stage: Stage, after: Step | None) -> Step:
    """Add a step of a stage to this batch alone, after another of its steps or at the start.

    Pieces that are through a later step count as through this one.
    """
    if batch.closed_us is not None:
        raise Refusal(f"{batch.name} is closed. Nothing was added.")
    steps = list(turn.floor.steps(batch.id))
    at = next((i + 1 for i, step in enumerate(steps) if after is not None and step.id == after.id), 0)
    for position, step in enumerate(steps):
        turn.edit(step, position=position if position < at else position + 1)
    return turn.new(
        Step,
        batch_id=batch.id,
        route_step_id=None,
        position=at,
        stage_id=stage.id,
        name=stage.name,
        kind=stage.kind,
        one_by_one=stage.one_by_one,
        strand=after.strand if after is not None else "",
        begins_itself=False,
        wait_us=None,
        minutes_us=None,
        setup_us=None,
        tool_id=None,
        tool_share=1.0,
        setting="",
        caution=stage.caution,
        common_practice=False,
        state=StepState.TIMED,
    )
