"""Whether the strands and order rules of a route can be followed at all."""

from collections import defaultdict

from shopclock.shop.kinds import Kind, RuleKind
from shopclock.shop.route import Route, RouteRule, RouteStep
from shopclock.shop.route_fault import Place, RouteFault, nearest, shown
from shopclock.shop.route_length import LONGEST_S

Follows = dict[str, list[str]]
"""For each step by its key, the steps that must come after it."""


def check_order(route: Route) -> None:
    """Raise RouteFault for a step that can't begin or a rule that can't be kept."""
    steps = {step.key: step for step in route.steps}
    for n, rule in enumerate(route.rules):
        _check_rule(("rule", n), rule, steps)
        if any(_same(rule, other) for other in route.rules[:n]):
            raise RouteFault(("rule", n), "", "this rule is given twice", "each rule once")
    _check_circles(route.rules, _check_strands(route.steps))


def _check_rule(place: Place, rule: RouteRule, steps: dict[str, RouteStep]) -> None:
    for side, key in (("first", rule.first), ("then", rule.then)):
        if key not in steps:
            expected = f"the key of a step: {nearest(key, tuple(steps))}"
            raise RouteFault(place, side, f"{side} is {shown(key)}", expected)
    _check_limit(place, rule)
    if rule.kind is RuleKind.AT_LEAST and steps[rule.first].kind is not Kind.WAIT:
        what = f"first is {shown(rule.first)}, which is no wait"
        raise RouteFault(place, "first", what, "a step of kind wait, whose length is the rule's")


def _check_limit(place: Place, rule: RouteRule) -> None:
    if rule.kind is RuleKind.WITHIN and rule.limit_s is None:
        raise RouteFault(place, "limit", "limit is missing", 'a line such as limit = "60 min"')
    if rule.kind is not RuleKind.WITHIN and rule.limit_s is not None:
        what = f"limit is given for a rule of kind {rule.kind.value}"
        raise RouteFault(place, "limit", what, "it only where kind is within")
    if rule.limit_s is not None and not 0 < rule.limit_s <= LONGEST_S:
        what = "limit is nothing" if rule.limit_s <= 0 else "limit is longer than a year"
        raise RouteFault(place, "limit", what, 'a length such as "60 min"')


def _same(one: RouteRule, other: RouteRule) -> bool:
    return (one.kind, one.first, one.then) == (other.kind, other.first, other.then)


def _check_strands(steps: tuple[RouteStep, ...]) -> Follows:
    """Return what follows what along the strands; refuse a step that nothing could begin."""
    follows: Follows = defaultdict(list)
    last: dict[str, str] = {}
    for n, step in enumerate(steps):
        if step.begins_itself and step.kind is not Kind.WAIT:
            what = f"a {step.kind.value} step can not begin by itself"
            raise RouteFault(("step", n), "begins", what, "it only where kind is wait")
        if step.begins_itself and step.strand not in last:
            what = "the first step of a strand can not begin by itself"
            raise RouteFault(("step", n), "begins", what, '"by a press"')
        if step.strand in last:
            follows[last[step.strand]].append(step.key)
        last[step.strand] = step.key
    return follows


def _check_circles(rules: tuple[RouteRule, ...], follows: Follows) -> None:
    """Refuse the first rule that asks for a step both before and after another."""
    for n, rule in enumerate(rules):
        path = _path(follows, rule.then, rule.first)
        if path:
            what = f"steps run in a circle: {', '.join((rule.first, *path))}"
            raise RouteFault(("rule", n), "", what, "the other way round, or no such rule")
        follows[rule.first].append(rule.then)


def _path(follows: Follows, start: str, goal: str) -> tuple[str, ...]:
    """Return the steps that lead from one to another, or nothing where none do."""
    reached: dict[str, tuple[str, ...]] = {start: (start,)}
    waiting = [start]
    while waiting and goal not in reached:
        here = waiting.pop(0)
        for after in follows.get(here, ()):
            if after not in reached:
                reached[after] = (*reached[here], after)
                waiting.append(after)
    return reached.get(goal, ())
