"""One pattern: the steps of its route, and what is done with the pattern itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.pages.starting import HowMany
from shopclock.screens.paged.about import PatternAbout
from shopclock.screens.shop.pages.rules import RulesPage
from shopclock.screens.shop.pages.step import StepPage
from shopclock.screens.shop.texts import step_said
from shopclock.shop.setup.list_edit import put_away, rename
from shopclock.shop.setup.patterns import newest_route, route_rules, route_steps
from shopclock.shop.setup.route_edit import add_step
from shopclock.shop.state.wording import word
from shopclock.shop.values.entities import Batch, RouteStep, Stage
from shopclock.views.dialogs import Choice
from shopclock.views.page import TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.page import Action


class PatternPage(PatternAbout):
    """The route of a pattern, a tile for each step."""

    @property
    def steps(self) -> tuple[RouteStep, ...]:
        """The steps that a new batch would have."""
        return route_steps(self._stack.floor, newest_route(self._stack.floor, self.pattern))

    def title(self) -> str:
        """Its name."""
        return f"Route of {self.pattern.name}"

    def lines(self) -> Sequence[TextLine]:
        """What a change touches."""
        floor = self._stack.floor
        begun = any(b.pattern_id == self._pattern_id and b.closed_us is None for b in floor.all(Batch))
        if self.pattern.put_away:
            return (TextLine("Put away: it is not offered for a new one.", "straw"),)
        if begun:
            return (
                TextLine(f"What is changed here holds for new {word(floor, 'batch').many}; those begun keep theirs."),
            )
        return (TextLine(f"A new {word(floor, 'batch').one} can start at once; the route can be put right later."),)

    def offers(self) -> Sequence[Action]:
        """The steps."""
        return [self._step(number, step) for number, step in enumerate(self.steps, 1)]

    def actions(self) -> Sequence[Action]:
        """Start, add, and the rest behind one button."""
        start = f"New {word(self._stack.floor, 'batch').one}"
        return [
            action(
                "start",
                start,
                calling(lambda: self._stack.open(HowMany(self._stack, self._pattern_id))),
                role="primary",
                enabled=not self.pattern.put_away,
            ),
            action("add", "Add a step", calling(self._ask_stage)),
            action("rules", "Order rules", calling(self._open_rules), detail=self._rules_said()),
            action("more", "More", calling(self._ask_more), detail="name, put away"),
        ]

    def _rules_said(self) -> str:
        n = len(route_rules(self._stack.floor, newest_route(self._stack.floor, self.pattern)))
        return str(n) if n else "none"

    def _open_rules(self) -> None:
        self._stack.open(RulesPage(self._stack, self._pattern_id))

    def _step(self, number: int, step: RouteStep) -> Action:
        return action(
            f"step {step.id}",
            f"{number}  {step.name}",
            calling(lambda: self._stack.open(StepPage(self._stack, self._pattern_id, step.id))),
            detail=step_said(step),
        )

    def _ask_stage(self) -> None:
        stages = [s for s in self._stack.floor.all(Stage) if not s.shop_work and not s.put_away]
        choices = [Choice(str(s.id), s.name) for s in sorted(stages, key=lambda s: s.name.casefold())]
        name = word(self._stack.floor, "stage").one
        self._stack.dialogs.ask(f"Which {name} is the new step", choices, on_answer(self._ask_after))

    def _ask_after(self, stage_id: str) -> None:
        stage = self._stack.floor.get(Stage, int(stage_id))
        choices = [Choice("first", "At the start"), *(Choice(str(s.id), s.name) for s in self.steps)]
        self._stack.dialogs.ask(
            f"After which step comes {stage.name}", choices, on_answer(lambda s: self._add(stage, s))
        )

    def _add(self, stage: Stage, after_id: str) -> None:
        after = self._stack.floor.get(RouteStep, int(after_id)) if after_id != "first" else None
        step = self._stack.do(f"Added {stage.name}", lambda tx: add_step(tx, self.pattern, stage, after))
        if step is not None:
            self._stack.open(StepPage(self._stack, self._pattern_id, step.id))

    def _ask_more(self) -> None:
        away = ("bring", "Bring back") if self.pattern.put_away else ("away", "Put away")
        choices = [Choice("name", "Another name"), Choice(*away, "what was made of it stays")]
        self._stack.dialogs.ask(self.pattern.name, choices, on_answer(self._take_more))

    def _take_more(self, key: str) -> None:
        if key == "name":
            self._stack.dialogs.text("Name of the pattern", self.pattern.name, on_answer(self._rename))
        else:
            what = "Put away" if key == "away" else "Brought back"
            self._stack.do(f"{what}: {self.pattern.name}", lambda tx: put_away(tx, self.pattern, away=key == "away"))

    def _rename(self, name: str) -> None:
        self._stack.do(f"Name: {name}", lambda tx: rename(tx, self.pattern, name))
