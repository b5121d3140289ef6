"""The steps of one batch: timed, skipped or not timed, and one more for this batch alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.where import batch_title
from shopclock.screens.paged.about import BatchAbout
from shopclock.shop.setup.route_edit import add_batch_step
from shopclock.shop.state.wording import minutes_text, range_text, word
from shopclock.shop.values.entities import Stage, Step
from shopclock.shop.values.kinds import StepState
from shopclock.shop.work.batches import set_state
from shopclock.shop.work.begin import usual_method
from shopclock.shop.work.piece_progress import through
from shopclock.views.dialogs import Choice
from shopclock.views.page import TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.page import Action

STATES = {
    StepState.TIMED: ("Time it", "as the route has it"),
    StepState.SKIPPED: ("Skip it", "this batch goes without"),
    StepState.NOT_TIMED: ("Not timed", "done, but its minutes are not known"),
}


class StepsPage(BatchAbout):
    """The steps of a batch in the order of its route."""

    def title(self) -> str:
        """Whose steps."""
        return f"Steps of {batch_title(self._stack.floor, self.batch)}"

    def lines(self) -> Sequence[TextLine]:
        """What a change touches."""
        return (
            TextLine("How many are through, and minutes each. What is changed here is changed in this batch alone."),
        )

    def offers(self) -> Sequence[Action]:
        """Each step with how many are through."""
        steps = self._stack.floor.steps(self._batch_id)
        return [self._step(number, step) for number, step in enumerate(steps, 1)]

    def actions(self) -> Sequence[Action]:
        """One step more."""
        if self.batch.closed_us is not None:
            return ()
        return [action("add", "Add a step", calling(self._ask_stage), role="primary")]

    def _step(self, number: int, step: Step) -> Action:
        return action(
            f"step {step.id}",
            f"{number}  {step.name}",
            calling(lambda: self._ask_state(step)),
            detail=self._detail(step),
            aside=self._usual(step),
            role="plate" if step.state is StepState.TIMED else "raised",
            enabled=self.batch.closed_us is None,
        )

    def _detail(self, step: Step) -> str:
        if step.state is not StepState.TIMED:
            return str(step.state)
        floor = self._stack.floor
        done = through(floor, self._batch_id)[step.id]
        pieces = [p.id for p in floor.pieces(self._batch_id) if p.living or p.id in done]
        return f"{len(done)} of {len(pieces)}"

    def _usual(self, step: Step) -> str:
        """What the shop usually needs for one, in minutes."""
        record = self._stack.record
        method = usual_method(self._stack.floor, step)
        found = record.reads.usual(step.stage_id, method, self.batch.pattern_id, record.instant())
        if found is None:
            return ""
        if found.low_min is None or found.high_min is None:
            return f"last {minutes_text(found.last_min)}"
        return f"usual {range_text(found.low_min, found.high_min)}"

    def _ask_state(self, step: Step) -> None:
        choices = [
            Choice(state, title, detail, checked=state is step.state) for state, (title, detail) in STATES.items()
        ]
        self._stack.dialogs.ask(f"{step.name} in {self.batch.name}", choices, on_answer(lambda s: self._set(step, s)))

    def _set(self, step: Step, state: str) -> None:
        wanted = StepState(state)
        self._stack.do(f"{step.name}: {wanted}", lambda tx: set_state(tx, step, wanted))

    def _ask_stage(self) -> None:
        stages = [s for s in self._stack.floor.all(Stage) if not s.shop_work and not s.put_away]
        choices = [Choice(str(s.id), s.name) for s in sorted(stages, key=lambda s: s.name.casefold())]
        name = word(self._stack.floor, "stage").one
        self._stack.dialogs.ask(f"Which {name} is the new step", choices, on_answer(self._ask_after))

    def _ask_after(self, stage_id: str) -> None:
        stage = self._stack.floor.get(Stage, int(stage_id))
        steps = self._stack.floor.steps(self._batch_id)
        choices = [Choice("first", "At the start"), *(Choice(str(step.id), step.name) for step in steps)]
        self._stack.dialogs.ask(
            f"After which step comes {stage.name}", choices, on_answer(lambda s: self._add(stage, s))
        )

    def _add(self, stage: Stage, after_id: str) -> None:
        after = self._stack.floor.get(Step, int(after_id)) if after_id != "first" else None
        self._stack.do(f"Added {stage.name}", lambda tx: add_batch_step(tx, self.batch, stage, after))
