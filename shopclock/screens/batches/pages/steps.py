"""The steps of one batch: timed, skipped or not timed, and one more for this batch alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from shopclock.screens.batches.where import batch_title
from shopclock.shop.setup.route_edit import add_batch_step
from shopclock.shop.state.wording import minutes_text, range_text, word
from shopclock.shop.values.entities import RouteStep, Stage, Step
from shopclock.shop.values.kinds import StepState
from shopclock.shop.work.batches import set_state
from shopclock.shop.work.begin import usual_method
from shopclock.shop.work.piece_progress import through
from shopclock.views.dialogs import Choice
from shopclock.views.field import choose, field, options
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Batch
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

S = TypeVar("S", Step, RouteStep)

STATES = {
    StepState.TIMED: ("Time it", "as the route has it"),
    StepState.SKIPPED: ("Skip it", "this batch goes without"),
    StepState.NOT_TIMED: ("Not timed", "done, but its minutes are not known"),
}


def steps_page(stack: PagedPresenter, batch: Batch) -> PageContent:
    """The steps of a batch in the order of its route, each with how many are through; one step more."""
    steps = stack.floor.steps(batch.id)
    add = [item("add", "Add a step", lambda: _add(stack, batch, steps), role="primary")]
    return PageContent(
        f"Steps of {batch_title(stack.floor, batch)}",
        ["How many are through, and minutes each. What is changed here is changed in this batch alone."],
        [_step(stack, batch, number, step) for number, step in enumerate(steps, 1)],
        add if batch.closed_us is None else [],
    )


def _step(stack: PagedPresenter, batch: Batch, number: int, step: Step) -> Action:
    def take(state: StepState) -> None:
        stack.do(f"{step.name}: {state}", lambda tx: set_state(tx, step, state))

    return field(
        f"step {step.id}",
        f"{number}  {step.name}",
        str(step.state) if step.state is not StepState.TIMED else _through(stack.floor, step),
        options(f"{step.name} in {batch.name}", STATES, step.state),
        take,
        aside=_usual(stack, batch, step),
        role="plate" if step.state is StepState.TIMED else "raised",
        why_not="" if batch.closed_us is None else f"{batch.name} is closed.",
    )


def _through(floor: ShopFloor, step: Step) -> str:
    done = through(floor, step.batch_id)[step.id]
    pieces = [p.id for p in floor.pieces(step.batch_id) if p.living or p.id in done]
    return f"{len(done)} of {len(pieces)}"


def _usual(stack: PagedPresenter, batch: Batch, step: Step) -> str:
    """Minutes that the shop usually needs for one."""
    method = usual_method(stack.floor, step)
    found = stack.record.reads.usual(step.stage_id, method, batch.pattern_id, stack.record.instant())
    if found is None:
        return ""
    if found.low_min is None or found.high_min is None:
        return f"last {minutes_text(found.last_min)}"
    return f"usual {range_text(found.low_min, found.high_min)}"


def _add(stack: PagedPresenter, batch: Batch, steps: Sequence[Step]) -> Asking[None]:
    stage, after = yield from ask_new_step(stack.floor, steps)
    stack.do(f"Added {stage.name}", lambda tx: add_batch_step(tx, batch, stage, after))


def ask_new_step(floor: ShopFloor, steps: Sequence[S]) -> Asking[tuple[Stage, S | None]]:
    """Ask which stage a new step is, and after which of a route or batch it comes; nothing before the first."""
    stages = [s for s in floor.all(Stage) if not s.shop_work and not s.put_away]
    answers = [(Choice(str(s.id), s.name), s) for s in sorted(stages, key=lambda s: s.name.casefold())]
    stage = yield from choose(f"Which {word(floor, 'stage').one} is the new step", answers)
    places: list[tuple[Choice, S | None]] = [(Choice("first", "At the start"), None)]
    places += [(Choice(str(s.id), s.name), s) for s in steps]
    return stage, (yield from choose(f"After which step comes {stage.name}", places))
