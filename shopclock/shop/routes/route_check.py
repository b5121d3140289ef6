"""Checks of a route, wherever it comes from: its parts, and whether strands and order rules can be followed."""

from collections import defaultdict
from collections.abc import Iterable
from itertools import pairwise
from math import isfinite

from shopclock.shop.routes.cure import HIGH_C, LOW_C
from shopclock.shop.routes.route_fault import Place, RouteFault, nearest, shown
from shopclock.shop.routes.route_length import LONGEST_S
from shopclock.shop.routes.starter_route import (
    ReadingSpec,
    StarterRoute,
    StarterRule,
    StarterStep,
    ToolSpec,
    key_of,
    tidy,
    tidy_note,
)
from shopclock.shop.values.kinds import Kind, RuleKind
from shopclock.shop.values.names import LONGEST, columns

NAME_MAX, CAUTION_MAX, UNIT_MAX = 40, 100, 12
MINUTES_MAX, CAPACITY_MAX = 10_000, 10_000


def check_route(route: StarterRoute) -> None:
    """Raise RouteFault for the first thing in a route that can't be."""
    _check_head(route)
    _check_once((("tool", n), "name", tool.name) for n, tool in enumerate(route.tools))
    for n, tool in enumerate(route.tools):
        _check_tool(("tool", n), tool)
    for n, step in enumerate(route.steps):
        _check_step(("step", n), step, route.tools)
    _check_once((("step", n), "key", step.key) for n, step in enumerate(route.steps))
    _check_stages(route.steps)
    check_order(route)


def _check_head(route: StarterRoute) -> None:
    _check_label((), "name", route.name, NAME_MAX)
    _check_label((), "piece", route.piece, LONGEST)
    _check_label((), "pieces", route.pieces, LONGEST)
    if route.note != tidy_note(route.note) or not route.note.replace("\n", "").isprintable():
        raise RouteFault((), "note", "note has a letter that can not be shown", "plain text")
    if not route.steps:
        raise RouteFault((), "step", "the route has no steps", "at least one [[step]]")


def _check_tool(place: Place, tool: ToolSpec) -> None:
    _check_label(place, "name", tool.name, LONGEST)
    _check_number(place, "capacity", tool.capacity, CAPACITY_MAX)


def _check_step(place: Place, step: StarterStep, tools: tuple[ToolSpec, ...]) -> None:
    _check_labels(place, step)
    _check_methods(place, step.methods)
    _check_time(place, step)
    _check_share(place, step, tools)
    for n, reading in enumerate(step.readings):
        _check_reading((*place, "reading", n), reading)
    names = ((*place, "reading", n) for n in range(len(step.readings)))
    _check_once((at, "name", one.name) for at, one in zip(names, step.readings, strict=True))


def _check_labels(place: Place, step: StarterStep) -> None:
    _check_label(place, "stage", step.stage, LONGEST)
    _check_label(place, "name", step.name, LONGEST)
    _check_label(place, "strand", step.strand, LONGEST, empty=True)
    _check_label(place, "setting", step.setting, LONGEST, empty=True)
    _check_label(place, "caution", step.caution, CAUTION_MAX, empty=True)
    if not step.key or step.key != key_of(step.key):
        what = f"key is {shown(step.key)}"
        raise RouteFault(place, "key", what, "small letters and figures joined by -")


def _check_label(place: Place, key: str, text: str, most: int, *, empty: bool = False) -> None:
    if not text and not empty:
        raise RouteFault(place, key, f"{key} is empty", "a word or two")
    if text != tidy(text) or not text.isprintable():
        raise RouteFault(place, key, f"{key} has a letter that can not be shown", "plain text")
    if columns(text) > most:
        what = f"{key} is {columns(text)} letters long"
        raise RouteFault(place, key, what, f"at most {most}, so that it fits on the screen")


def _check_methods(place: Place, methods: tuple[str, ...]) -> None:
    for method in methods:
        _check_label(place, "methods", method, LONGEST)
    _check_once((place, "methods", method) for method in methods)


def _check_once(named: Iterable[tuple[Place, str, str]]) -> None:
    """Refuse a name that stands twice; big and small letters are the same to a maker."""
    seen: set[str] = set()
    for place, key, name in named:
        if name.casefold() in seen:
            what = f"{key} {shown(name)} is given twice"
            raise RouteFault(place, key, what, "each one once")
        seen.add(name.casefold())


def _check_time(place: Place, step: StarterStep) -> None:
    _check_number(place, "minutes", step.minutes, MINUTES_MAX)
    _check_number(place, "setup", step.setup_minutes, MINUTES_MAX)
    if step.wait_s is not None and not 0 < step.wait_s <= LONGEST_S:
        what = "wait is nothing" if step.wait_s <= 0 else "wait is longer than a year"
        raise RouteFault(place, "wait", what, 'a length such as "24 h"')
    _check_warmth(place, step)
    _check_kind(place, step)


def _check_warmth(place: Place, step: StarterStep) -> None:
    """Hold a cure to a span of the shop's warmth that there is a figure for."""
    given = {"coldest": step.coldest_c, "warmest": step.warmest_c}
    for key, value in given.items():
        other = next(name for name in given if name != key)
        if value is None and given[other] is not None:
            raise RouteFault(place, other, f"{other} is given alone", f"{key} too")
        if value is not None and not LOW_C <= value <= HIGH_C:
            raise RouteFault(place, key, f"{key} is {shown(value)}", f"°C from {LOW_C:g} to {HIGH_C:g}")
    if step.coldest_c is None or step.warmest_c is None:
        return
    if step.coldest_c > step.warmest_c:
        raise RouteFault(place, "coldest", "coldest is above warmest", "coldest not above warmest")
    if step.kind is not Kind.WAIT or step.setting:
        what = f"coldest is given for a step {'with a setting' if step.setting else f'of kind {step.kind.value}'}"
        raise RouteFault(place, "coldest", what, "it for a wait in the shop's own warmth alone")


def _check_kind(place: Place, step: StarterStep) -> None:
    """Hold a kind to its own sort of time: by hand in minutes, unattended as a wait."""
    if step.kind is Kind.WAIT and step.wait_s is None:
        raise RouteFault(place, "wait", "wait is missing", 'a line such as wait = "24 h"')
    if step.kind.attended and step.wait_s is not None:
        what = f"wait is given for a {step.kind.value} step"
        raise RouteFault(place, "wait", what, "it only where kind is wait or away")
    for key, minutes in (("minutes", step.minutes), ("setup", step.setup_minutes)):
        if not step.kind.attended and minutes is not None:
            what = f"{key} is given for a step of kind {step.kind.value}"
            raise RouteFault(place, key, what, 'its length as wait = "24 h"')


def _check_number(place: Place, key: str, value: float | None, most: float) -> None:
    if value is not None and not (isfinite(value) and 0 < value <= most):
        what = f"{key} is {shown(value)}"
        raise RouteFault(place, key, what, f"a number above 0 and at most {most:g}")


def _check_share(place: Place, step: StarterStep, tools: tuple[ToolSpec, ...]) -> None:
    capacity = {tool.name: tool.capacity for tool in tools}
    if step.tool is None:
        if step.share != 1:
            raise RouteFault(place, "share", "share is given without a tool", 'tool = "..." too')
        return
    if step.tool not in capacity:
        expected = nearest(step.tool, tuple(capacity)) if tools else "a [[tool]] of this name"
        raise RouteFault(place, "tool", f"tool is {shown(step.tool)}", expected)
    most = capacity[step.tool]
    if most is None and step.share != 1:
        raise RouteFault(place, "share", f"share is given, but {shown(step.tool)} holds no load", "its capacity too")
    _check_number(place, "share", step.share, most if most is not None else 1)


def _check_reading(place: Place, reading: ReadingSpec) -> None:
    _check_label(place, "name", reading.name, LONGEST)
    _check_label(place, "unit", reading.unit, UNIT_MAX, empty=True)
    given = (("low", reading.low), ("target", reading.target), ("high", reading.high))
    limits = [(key, value) for key, value in given if value is not None]
    for key, value in limits:
        if not isfinite(value):
            raise RouteFault(place, key, f"{key} is {shown(value)}", "a plain number")
    for (lower, small), (upper, large) in pairwise(limits):
        if small > large:
            what = f"{lower} is {small:g} and {upper} is {large:g}"
            raise RouteFault(place, upper, what, f"{upper} not below {lower}")


def _check_stages(steps: tuple[StarterStep, ...]) -> None:
    """Kind and way of working belong to the stage, so all its steps agree in them."""
    first: dict[str, StarterStep] = {}
    for n, step in enumerate(steps):
        one = first.setdefault(step.stage, step)
        if one.kind is not step.kind:
            what = f"stage {shown(step.stage)} is {step.kind.value} here"
            raise RouteFault(("step", n), "kind", what, f"{one.kind.value} as before")
        if one.one_by_one is not step.one_by_one:
            what = f"stage {shown(step.stage)} is worked in another way before"
            raise RouteFault(("step", n), "worked", what, "the same way for all its steps")


Follows = dict[str, list[str]]
"""For each step by its key, the steps that must come after it."""


def check_order(route: StarterRoute) -> None:
    """Raise RouteFault for a step that can't begin or a rule that can't be kept."""
    steps = {step.key: step for step in route.steps}
    for n, rule in enumerate(route.rules):
        _check_rule(("rule", n), rule, steps)
        if any(_same(rule, other) for other in route.rules[:n]):
            raise RouteFault(("rule", n), "", "this rule is given twice", "each rule once")
    _check_circles(route.rules, _check_strands(route.steps))


def _check_rule(place: Place, rule: StarterRule, steps: dict[str, StarterStep]) -> None:
    for side, key in (("first", rule.first), ("then", rule.then)):
        if key not in steps:
            expected = f"the key of a step: {nearest(key, tuple(steps))}"
            raise RouteFault(place, side, f"{side} is {shown(key)}", expected)
    _check_limit(place, rule)
    if rule.kind is RuleKind.AT_LEAST and steps[rule.first].kind is not Kind.WAIT:
        what = f"first is {shown(rule.first)}, which is no wait"
        raise RouteFault(place, "first", what, "a step of kind wait, whose length is the rule's")


def _check_limit(place: Place, rule: StarterRule) -> None:
    if rule.kind is RuleKind.WITHIN and rule.limit_s is None:
        raise RouteFault(place, "limit", "limit is missing", 'a line such as limit = "60 min"')
    if rule.kind is not RuleKind.WITHIN and rule.limit_s is not None:
        what = f"limit is given for a rule of kind {rule.kind.value}"
        raise RouteFault(place, "limit", what, "it only where kind is within")
    if rule.limit_s is not None and not 0 < rule.limit_s <= LONGEST_S:
        what = "limit is nothing" if rule.limit_s <= 0 else "limit is longer than a year"
        raise RouteFault(place, "limit", what, 'a length such as "60 min"')


def _same(one: StarterRule, other: StarterRule) -> bool:
    return (one.kind, one.first, one.then) == (other.kind, other.first, other.then)


def _check_strands(steps: tuple[StarterStep, ...]) -> Follows:
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


def _check_circles(rules: tuple[StarterRule, ...], follows: Follows) -> None:
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
