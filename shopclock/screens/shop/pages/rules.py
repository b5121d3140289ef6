"""Order rules of a route: before, within a time, after at least a time."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.shop.texts import length_said, practice_said
from shopclock.shop.setup.patterns import newest_route, route_rules, route_steps
from shopclock.shop.setup.route_edit import drop_rule, set_rule
from shopclock.shop.values.entities import OrderRule, Pattern, RouteStep
from shopclock.shop.values.kinds import RuleKind
from shopclock.views.dialogs import Choice
from shopclock.views.field import choose, length
from shopclock.views.page import PageContent, item

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.views.field import Asking

RULE_KINDS = {
    RuleKind.BEFORE: ("Before", "this one before that"),
    RuleKind.WITHIN: ("Within a time", "that one soon after this"),
    RuleKind.AT_LEAST: ("At least its time", "a wait is over before that"),
}


def rules_page(stack: PagedPresenter, pattern: Pattern) -> PageContent:
    """The order rules of a pattern's route. At the bench they warn, they never forbid."""
    floor = stack.floor
    rules = route_rules(floor, newest_route(floor, pattern))
    return PageContent(
        f"Order in {pattern.name}",
        ["A start that goes against a rule is warned of in one line; it is never refused."],
        [
            item(f"rule {n}", _names(floor, rule), partial(_drop, stack, pattern, rule), detail=_limit(floor, rule))
            for n, rule in enumerate(rules)
        ],
        [item("add", "Add a rule", lambda: _add(stack, pattern), role="primary")],
    )


def _names(floor: ShopFloor, rule: OrderRule) -> str:
    return f"{floor.get(RouteStep, rule.first_step_id).name}, then {floor.get(RouteStep, rule.then_step_id).name}"


def _limit(floor: ShopFloor, rule: OrderRule) -> str:
    if rule.kind is RuleKind.BEFORE:
        return "in this order"
    if rule.kind is RuleKind.WITHIN:
        return practice_said(f"within {length_said(rule.limit_us)}", common_practice=rule.common_practice)
    wait_us = floor.get(RouteStep, rule.first_step_id).wait_us
    return f"not before {length_said(rule.limit_us if rule.limit_us is not None else wait_us)}"


def _drop(stack: PagedPresenter, pattern: Pattern, rule: OrderRule) -> Asking[None]:
    answers = ((Choice("drop", "Remove the rule"), True), (Choice("keep", "Leave it", role="primary"), False))
    if (yield from choose(f"{_names(stack.floor, rule)}: {_limit(stack.floor, rule)}", answers)):
        stack.do("Removed a rule", lambda tx: drop_rule(tx, pattern, rule))


def _add(stack: PagedPresenter, pattern: Pattern) -> Asking[None]:
    steps = route_steps(stack.floor, newest_route(stack.floor, pattern))
    answers = [(Choice(str(step.id), step.name), step) for step in steps]
    kinds = [(Choice(kind, *said), kind) for kind, said in RULE_KINDS.items()]
    kind = yield from choose("What kind of rule", kinds)
    first = yield from choose("Which step comes first", answers)
    then = yield from choose(f"Which comes after {first.name}", answers)
    limit_s = (yield from length(f"{then.name} within how long")) if kind is RuleKind.WITHIN else None
    stack.do("Added a rule", lambda tx: set_rule(tx, pattern, kind, first, then, limit_s))
