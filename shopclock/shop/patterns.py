"""Patterns, and the route each follows: copied from a starter route, then put right."""

from collections.abc import Sequence
from dataclasses import fields
from typing import Any

from shopclock.shop import route as starter
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import RuleKind
from shopclock.shop.names import good_name
from shopclock.shop.reading_kinds import copy_kinds
from shopclock.shop.turn import Turn
from shopclock.shop.values import (
    Batch,
    Method,
    OrderRule,
    Pattern,
    Route,
    RouteStep,
    Stage,
    Tool,
)

MINUTE_US = 60_000_000


def copy_route(turn: Turn, route: starter.Route, name: str) -> Pattern:
    """Make a pattern of this name whose route is a copy of a starter route.

    Stages, methods and tools that the shop has by these names are used, missing ones added.
    """
    wanted = good_name(name, [pattern.name for pattern in turn.floor.all(Pattern)])
    pattern = turn.new(Pattern, name=wanted, outline=str(route.outline), put_away=False)
    version = turn.new(Route, pattern_id=pattern.id, version=1, note=route.note)
    for tool in route.tools:
        _tool(turn, tool.name, tool.capacity)
    steps = {step.key: _copy_step(turn, version, position, step) for position, step in enumerate(route.steps)}
    for step in route.steps:
        copy_kinds(turn, stage_named(turn, step.stage, step), pattern, step.readings)
    for rule in route.rules:
        ends, common = (steps[rule.first], steps[rule.then]), rule.common_practice
        add_rule(turn, version, rule.kind, *ends, rule.limit_s, common_practice=common)
    return pattern


def _copy_step(turn: Turn, route: Route, position: int, step: starter.RouteStep) -> RouteStep:
    stage = stage_named(turn, step.stage, step)
    for method in step.methods:
        add_method(turn, stage, method)
    tool = _tool(turn, step.tool, None) if step.tool is not None else None
    return turn.new(
        RouteStep,
        route_id=route.id,
        position=position,
        stage_id=stage.id,
        name=step.name,
        kind=step.kind,
        one_by_one=step.one_by_one,
        strand=step.strand,
        begins_itself=step.begins_itself,
        wait_us=step.wait_s * 1_000_000 if step.wait_s is not None else None,
        minutes_us=_minutes(step.minutes),
        setup_us=_minutes(step.setup_minutes),
        tool_id=tool.id if tool is not None else None,
        tool_share=step.share,
        setting=step.setting,
        coldest_c=step.coldest_c,
        warmest_c=step.warmest_c,
        caution=step.caution,
        common_practice=step.common_practice,
    )


def _minutes(minutes: float | None) -> int | None:
    return round(minutes * MINUTE_US) if minutes is not None else None


def stage_named(turn: Turn, name: str, like: starter.RouteStep) -> Stage:
    """Return the shop's stage of this name, added as the step has it where it is missing."""
    found = turn.floor.stage_by_name(name)
    if found is not None:
        return found
    return turn.new(
        Stage,
        name=name,
        kind=like.kind,
        one_by_one=like.one_by_one,
        shop_work=False,
        caution=like.caution,
        put_away=False,
    )


def add_method(turn: Turn, stage: Stage, name: str) -> Method:
    """Return a stage's method of this name, added where it is missing."""
    for method in turn.floor.all(Method):
        if method.stage_id == stage.id and method.name.casefold() == name.casefold():
            return method
    return turn.new(Method, stage_id=stage.id, name=name, put_away=False)


def _tool(turn: Turn, name: str, capacity: float | None) -> Tool:
    for tool in turn.floor.all(Tool):
        if tool.name.casefold() == name.casefold():
            return tool
    return turn.new(Tool, name=name, capacity=capacity, put_away=False)


def add_rule(
    turn: Turn,
    route: Route,
    kind: RuleKind,
    first: RouteStep,
    then: RouteStep,
    limit_s: int | None,
    *,
    common_practice: bool = False,
) -> OrderRule:
    """Add an order rule to a route; its limit is in seconds, common practice where it has no source."""
    return turn.new(
        OrderRule,
        route_id=route.id,
        kind=kind,
        first_step_id=first.id,
        then_step_id=then.id,
        limit_us=limit_s * 1_000_000 if limit_s is not None else None,
        common_practice=common_practice,
    )


def newest_route(floor: Floor, pattern: Pattern) -> Route:
    """Return the version of a pattern's route that new batches start with."""
    versions = [r for r in floor.all(Route) if r.pattern_id == pattern.id]
    return max(versions, key=lambda route: route.version)


def route_steps(floor: Floor, route: Route) -> tuple[RouteStep, ...]:
    """Return a route's steps in order."""
    found = [step for step in floor.all(RouteStep) if step.route_id == route.id]
    return tuple(sorted(found, key=lambda step: (step.position, step.id)))


def route_rules(floor: Floor, route: Route) -> tuple[OrderRule, ...]:
    """Return a route's order rules."""
    return tuple(rule for rule in floor.all(OrderRule) if rule.route_id == route.id)


def editable(turn: Turn, pattern: Pattern) -> tuple[Route, dict[int, int]]:
    """Return a version of the route that no batch has started with, copied where there is none.

    With it, for each step of the newest version, the number of that step in the returned one.
    """
    newest = newest_route(turn.floor, pattern)
    steps = route_steps(turn.floor, newest)
    if not any(batch.route_id == newest.id for batch in turn.floor.all(Batch)):
        return newest, {step.id: step.id for step in steps}
    route = turn.new(Route, pattern_id=pattern.id, version=newest.version + 1, note=newest.note)
    return route, copy_version(turn, newest, route)


def copy_version(turn: Turn, old: Route, new: Route) -> dict[int, int]:
    """Copy steps and rules of one version into an empty one; returns the new number of each old step."""
    copied = {step.id: turn.new(RouteStep, **_fields(step, route_id=new.id)) for step in route_steps(turn.floor, old)}
    for rule in route_rules(turn.floor, old):
        ends = {
            "first_step_id": copied[rule.first_step_id].id,
            "then_step_id": copied[rule.then_step_id].id,
        }
        turn.new(OrderRule, **_fields(rule, route_id=new.id, **ends))
    return {old_id: step.id for old_id, step in copied.items()}


def _fields(thing: RouteStep | OrderRule, **changed: Any) -> dict[str, Any]:
    kept = {f.name: getattr(thing, f.name) for f in fields(thing) if f.name not in ("id", "uuid")}
    return kept | changed


def put_in_order(turn: Turn, steps: Sequence[RouteStep]) -> None:
    """Number steps as they stand."""
    for position, step in enumerate(steps):
        turn.edit(step, position=position)
