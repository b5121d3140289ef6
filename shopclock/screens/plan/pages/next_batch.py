"""Forecast of the next batch: so many finished pieces of a pattern, by the methods that are pressed."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.long_work.async_answer import AsyncAnswer
from shopclock.screens.paged.described import DescribedPage
from shopclock.screens.plan.pages.oil import oil_page
from shopclock.screens.plan.pages.promise import WantedPage, no_pattern
from shopclock.shop.routes.starter_route import Outline
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.values.entities import Method, Stage
from shopclock.views.dialogs import Choice
from shopclock.views.field import choose
from shopclock.views.page import Body, PageContent, item

if TYPE_CHECKING:
    from shopclock.analysis.plan.next_batch import NextBatch
    from shopclock.screens.plan.planning import Planning
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

HEADS = ("5 times in 10", "8 times in 10", "19 times in 20")
NO_SUM = "Each line is told by itself: all work is less than their sum, as not everything goes badly at once."


class NextBatchPage(WantedPage):
    """Blanks and hours, stage by stage and in sum."""

    def __init__(self, stack: Planning) -> None:
        self._told: AsyncAnswer[NextBatch] = AsyncAnswer(stack.work, stack.changed)
        super().__init__(stack, 6, self._told)
        self._methods: dict[int, int] = {}

    def content(self) -> PageContent | None:
        """Blanks and hours in one sentence, how often such a forecast held, the table, and the question's parts."""
        from shopclock.analysis.plan.next_batch import table

        if self._gone:
            return None
        if self._pattern_id is None:
            return no_pattern(self._stack, "Blanks and hours of the next one are told here.")
        told = self._answer(self._pattern_id)
        title = told.whole if told is not None else self._told.why or "Working it out …"
        notes = (*told.notes, self._past.answer or "") if told is not None else ()
        single = "" if self._choices() else "Each stage has one method, or is not worked out yet."
        return PageContent(
            title,
            [note for note in notes if note],
            actions=[
                *self._question("Pattern", role="raised"),
                item("methods", "Methods", self._ask_method, role="raised", why_not=single),
                *self._oil(),
            ],
            body=Body.TEXT,
            text=f"{table(HEADS, told)}\n\n{NO_SUM}" if told is not None else "",
        )

    def _oil(self) -> list[Action]:
        """Quench oil, where the shop makes blades."""
        if not any(pattern.outline == Outline.BLADE for pattern in self._stack.patterns):
            return []
        return [item("oil", "Quench oil", partial(DescribedPage, self._stack, oil_page), role="raised")]

    def _answer(self, pattern_id: int) -> NextBatch | None:
        """Have it worked out, once for each question and each state of the record; then how past ones held."""
        from shopclock.analysis.plan.held import forecasts_held
        from shopclock.analysis.plan.next_batch import next_batch

        record, path = self._stack.record, str(self._stack.record.path)
        asked = (pattern_id, self._wanted, tuple(sorted(self._methods.items())))
        self._told.ask((asked, record.next_undo), partial(next_batch, path, *asked, record.instant()))
        if self._told.answer is not None:
            self._past.ask(record.next_undo, partial(forecasts_held, path, record.instant()))
        return self._told.answer

    def _choices(self) -> dict[int, list[Method]]:
        """The stages of the pattern's route that can be worked by more than one method."""
        floor, pattern = self._stack.floor, self._pattern
        if pattern is None:
            return {}
        stages = dict.fromkeys(step.stage_id for step in route_steps(floor, newest_route(floor, pattern)))
        found = {s: [m for m in floor.all(Method) if m.stage_id == s and not m.put_away] for s in stages}
        return {stage: methods for stage, methods in found.items() if len(methods) > 1}

    def _ask_method(self) -> Asking[None]:
        """Ask which stage, where there are several with a choice; then how it is worked."""
        found = self._choices()
        stages = [self._stack.floor.get(Stage, stage_id) for stage_id in found]
        stage = stages[0]
        if len(stages) > 1:
            stage = yield from choose("Which stage", [(Choice(str(stage.id), stage.name), stage) for stage in stages])
        now = self._methods.get(stage.id)
        ways = [(Choice(str(m.id), m.name, checked=m.id == now), m.id) for m in found[stage.id]]
        self._methods[stage.id] = yield from choose(f"{stage.name}: how", ways)
        self._another()
