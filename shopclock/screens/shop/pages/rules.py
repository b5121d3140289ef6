"""What must come before what in a route, within what time, or after at least what."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.paged.about import PatternAbout
from shopclock.screens.shop.lengths import ask_length
from shopclock.screens.shop.texts import length_said, practice_said
from shopclock.shop.setup.patterns import newest_route, route_rules, route_steps
from shopclock.shop.setup.route_edit import drop_rule, set_rule
from shopclock.shop.values.entities import OrderRule, RouteStep
from shopclock.shop.values.kinds import RuleKind
from shopclock.views.dialogs import Choice
from shopclock.views.page import TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.views.page import Action

RULE_KINDS = (
    Choice(RuleKind.BEFORE, "Before", "holes before hardening"),
    Choice(RuleKind.WITHIN, "Within a time", "temper soon after the quench"),
    Choice(RuleKind.AT_LEAST, "At least its time", "the glue cures before shaping"),
)


class RulesPage(PatternAbout):
    """The order rules of a pattern's route. At the bench they warn, they never forbid."""

    @property
    def rules(self) -> tuple[OrderRule, ...]:
        """The rules of the route that a new batch would have."""
        return route_rules(self._stack.floor, newest_route(self._stack.floor, self.pattern))

    def title(self) -> str:
        """Whose rules."""
        return f"Order in {self.pattern.name}"

    def lines(self) -> Sequence[TextLine]:
        """What a rule does."""
        return (TextLine("A start that goes against a rule is warned of in one line; it is never refused."),)

    def offers(self) -> Sequence[Action]:
        """The rules."""
        return [
            action(f"rule {n}", self._names(rule), calling(partial(self._ask_drop, rule)), detail=self._asks(rule))
            for n, rule in enumerate(self.rules)
        ]

    def actions(self) -> Sequence[Action]:
        """One more."""
        return [action("add", "Add a rule", calling(self._ask_kind), role="primary")]

    def _names(self, rule: OrderRule) -> str:
        floor = self._stack.floor
        return f"{floor.get(RouteStep, rule.first_step_id).name}, then {floor.get(RouteStep, rule.then_step_id).name}"

    def _asks(self, rule: OrderRule) -> str:
        if rule.kind is RuleKind.BEFORE:
            return "in this order"
        if rule.kind is RuleKind.WITHIN:
            return practice_said(f"within {length_said(rule.limit_us)}", common_practice=rule.common_practice)
        first = self._stack.floor.get(RouteStep, rule.first_step_id)
        return f"not before {length_said(rule.limit_us if rule.limit_us is not None else first.wait_us)}"

    def _ask_drop(self, rule: OrderRule) -> None:
        choices = (Choice("drop", "Remove the rule"), Choice("keep", "Leave it", role="primary"))
        self._stack.dialogs.ask(
            f"{self._names(rule)}: {self._asks(rule)}", choices, on_answer(lambda key: self._drop(rule, key))
        )

    def _drop(self, rule: OrderRule, key: str) -> None:
        if key == "drop":
            self._stack.do("Removed a rule", lambda tx: drop_rule(tx, self.pattern, rule))

    def _ask_kind(self) -> None:
        self._stack.dialogs.ask("What kind of rule", RULE_KINDS, on_answer(lambda k: self._ask_first(RuleKind(k))))

    def _ask_first(self, kind: RuleKind) -> None:
        self._ask_step("Which step comes first", lambda first: self._ask_then(kind, first))

    def _ask_then(self, kind: RuleKind, first: RouteStep) -> None:
        self._ask_step(f"Which comes after {first.name}", lambda then: self._ask_limit(kind, first, then))

    def _ask_step(self, question: str, then: Callable[[RouteStep], None]) -> None:
        floor = self._stack.floor
        steps = route_steps(floor, newest_route(floor, self.pattern))
        choices = [Choice(str(step.id), step.name) for step in steps]
        self._stack.dialogs.ask(question, choices, on_answer(lambda n: then(floor.get(RouteStep, int(n)))))

    def _ask_limit(self, kind: RuleKind, first: RouteStep, then: RouteStep) -> None:
        if kind is RuleKind.WITHIN:
            question = f"{then.name} within how long"
            ask_length(self._stack.dialogs, question, lambda limit_s: self._add(kind, first, then, limit_s))
        else:
            self._add(kind, first, then, None)

    def _add(self, kind: RuleKind, first: RouteStep, then: RouteStep, limit_s: int | None) -> None:
        self._stack.do("Added a rule", lambda tx: set_rule(tx, self.pattern, kind, first, then, limit_s))
