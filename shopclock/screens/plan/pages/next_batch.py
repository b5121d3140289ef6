"""What the next batch takes: so many finished pieces of a pattern, by the methods that are pressed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.plan.pages.oil import OilPage
from shopclock.screens.plan.pages.wanted import NO_PATTERN, WantedPage
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.state.wording import counted
from shopclock.shop.values.entities import Method, Pattern, Stage
from shopclock.views.dialogs import Choice
from shopclock.views.page import Body, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.analysis.plan.next_batch import NextBatch
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.page import Action

HEADS = ("every other time", "8 times in 10", "19 in 20")
NO_SUM = "Each line is told by itself: all work is less than their sum, as not everything goes badly at once."


class NextBatchPage(WantedPage):
    """Blanks and hours, stage by stage and in sum."""

    body = Body.TEXT

    def __init__(self, stack: Planning) -> None:
        self._told: AsyncAnswer[NextBatch] = AsyncAnswer(stack.work, stack.changed)
        super().__init__(stack, 6, self._told)
        self._methods: dict[int, int] = {}

    def title(self) -> str:
        """Blanks and hours in one sentence."""
        if self._pattern_id is None:
            return NO_PATTERN
        told = self._answer(self._pattern_id)
        return told.whole if told is not None else self._told.why or "Working it out …"

    def _answer(self, pattern_id: int) -> NextBatch | None:
        """Have it worked out, once for each question and each state of the record; then how past ones held."""
        from shopclock.analysis.plan.next_batch import next_batch
        from shopclock.analysis.plan.promise import forecasts_held

        record, path = self._stack.record, str(self._stack.record.path)
        asked = (pattern_id, self._wanted, tuple(sorted(self._methods.items())))
        self._told.ask((asked, record.next_undo), partial(next_batch, path, *asked, record.instant()))
        if self._told.answer is not None:
            self._past.ask(record.next_undo, partial(forecasts_held, path, record.instant()))
        return self._told.answer

    def lines(self) -> Sequence[TextLine]:
        """How often such a forecast held, and what is odd about it."""
        told = self._told.answer
        notes = (*told.notes, self._past.answer or "") if told is not None else ()
        return [TextLine(note) for note in notes if note]

    def text(self) -> str:
        """The table."""
        from shopclock.analysis.plan.next_batch import table

        told = self._told.answer
        return f"{table(HEADS, told)}\n\n{NO_SUM}" if told is not None else ""

    def actions(self) -> Sequence[Action]:
        """The question's parts, and the help for the quench."""
        floor = self._stack.floor
        pattern = floor.find(Pattern, self._pattern_id or 0)
        name, some = ("Pattern", False) if pattern is None else (pattern.name, True)
        wanted = counted(floor, "finished", self._wanted)
        return [
            action("pattern", name, calling(self._ask_pattern), role="raised", enabled=some),
            action("wanted", wanted, calling(self._ask_wanted), role="raised", enabled=some),
            action("methods", "Methods", calling(self._ask_stage), role="raised", enabled=bool(self._choices())),
            action("oil", "Quench oil", calling(lambda: self._stack.open(OilPage(self._stack))), role="raised"),
        ]

    def _choices(self) -> dict[int, list[Method]]:
        """The stages of the pattern's route that can be worked by more than one method."""
        floor, pattern = self._stack.floor, self._stack.floor.find(Pattern, self._pattern_id or 0)
        if pattern is None:
            return {}
        stages = dict.fromkeys(step.stage_id for step in route_steps(floor, newest_route(floor, pattern)))
        found = {s: [m for m in floor.all(Method) if m.stage_id == s and not m.put_away] for s in stages}
        return {stage: methods for stage, methods in found.items() if len(methods) > 1}

    def _ask_stage(self) -> None:
        """Ask which stage, where there are several with a choice."""
        stages = [self._stack.floor.get(Stage, stage_id) for stage_id in self._choices()]
        if len(stages) == 1:
            self._ask_method(stages[0].id)
            return
        choices = [Choice(str(stage.id), stage.name) for stage in stages]
        self._stack.dialogs.ask("Which stage", choices, on_answer(lambda key: self._ask_method(int(key))))

    def _ask_method(self, stage_id: int) -> None:
        name = self._stack.floor.get(Stage, stage_id).name
        now = self._methods.get(stage_id)
        choices = [Choice(str(m.id), m.name, checked=m.id == now) for m in self._choices()[stage_id]]
        self._stack.dialogs.ask(f"{name}: how", choices, on_answer(lambda key: self._set_method(stage_id, int(key))))

    def _set_method(self, stage_id: int, method_id: int) -> None:
        self._methods[stage_id] = method_id
        self._another()
