"""Patterns, and the route each follows: copied from a starter route or another pattern, then put right."""

from collections.abc import Sequence
from dataclasses import replace

from shopclock.shop.routes import starter_route as starter
from shopclock.shop.setup.reading_kinds import copy_for, copy_kinds
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Method, OrderRule, Pattern, Route, RouteStep, Stage, Tool
from shopclock.shop.values.kinds import RuleKind
from shopclock.shop.values.names import good_name

MINUTE_US = 60_000_000


def copy_route(tx: Transaction, route: starter.StarterRoute, name: str) -> Pattern:
    """Make a pattern of this name whose route is a copy of a starter route.

    Stages, methods and tools that the shop has by these names are used, missing ones added.
    """
    wanted = good_name(name, [pattern.name for pattern in tx.floor.all(Pattern)])
    pattern = tx.add(Pattern(name=wanted, outline=str(route.outline)))
    version = tx.add(Route(pattern_id=pattern.id, note=route.note))
    for tool in route.tools:
        _tool(tx, tool.name, tool.capacity)
    steps = {step.key: _copy_step(tx, version, position, step) for position, step in enumerate(route.steps)}
    for step in route.steps:
        copy_kinds(tx, stage_named(tx, step.stage, step), pattern, step.readings)
    for rule in route.rules:
        ends, common = (steps[rule.first], steps[rule.then]), rule.common_practice
        add_rule(tx, version, rule.kind, *ends, rule.limit_s, common_practice=common)
    return pattern


def _copy_step(tx: Transaction, route: Route, position: int, step: starter.StarterStep) -> RouteStep:
    stage = stage_named(tx, step.stage, step)
    for method in step.methods:
        add_method(tx, stage, method)
    tool = _tool(tx, step.tool, None) if step.tool is not None else None
    return tx.add(
        RouteStep(
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
    )


def _minutes(minutes: float | None) -> int | None:
    return round(minutes * MINUTE_US) if minutes is not None else None


def stage_named(tx: Transaction, name: str, like: starter.StarterStep) -> Stage:
    """Return the shop's stage of this name, added as the step has it where it is missing."""
    found = tx.floor.stage_by_name(name)
    if found is not None:
        return found
    return tx.add(Stage(name=name, kind=like.kind, one_by_one=like.one_by_one, caution=like.caution))


def add_method(tx: Transaction, stage: Stage, name: str) -> Method:
    """Return a stage's method of this name, added where it is missing."""
    for method in tx.floor.all(Method):
        if method.stage_id == stage.id and method.name.casefold() == name.casefold():
            return method
    return tx.add(Method(stage_id=stage.id, name=name))


def _tool(tx: Transaction, name: str, capacity: float | None) -> Tool:
    for tool in tx.floor.all(Tool):
        if tool.name.casefold() == name.casefold():
            return tool
    return tx.add(Tool(name=name, capacity=capacity))


def add_rule(
    tx: Transaction,
    route: Route,
    kind: RuleKind,
    first: RouteStep,
    then: RouteStep,
    limit_s: int | None,
    *,
    common_practice: bool = False,
) -> OrderRule:
    """Add an order rule to a route; its limit is in seconds, common practice where it has no source."""
    return tx.add(
        OrderRule(
            route_id=route.id,
            kind=kind,
            first_step_id=first.id,
            then_step_id=then.id,
            limit_us=limit_s * 1_000_000 if limit_s is not None else None,
            common_practice=common_practice,
        )
    )


def newest_route(floor: ShopFloor, pattern: Pattern) -> Route:
    """Return the version of a pattern's route that new batches start with."""
    versions = [r for r in floor.all(Route) if r.pattern_id == pattern.id]
    return max(versions, key=lambda route: route.version)


def route_steps(floor: ShopFloor, route: Route) -> tuple[RouteStep, ...]:
    """Return a route's steps in order."""
    found = [step for step in floor.all(RouteStep) if step.route_id == route.id]
    return tuple(sorted(found, key=lambda step: (step.position, step.id)))


def route_rules(floor: ShopFloor, route: Route) -> tuple[OrderRule, ...]:
    """Return a route's order rules."""
    return tuple(rule for rule in floor.all(OrderRule) if rule.route_id == route.id)


def editable(tx: Transaction, pattern: Pattern) -> tuple[Route, dict[int, int]]:
    """Return a version of the route that no batch has started with, copied where there is none.

    With it, for each step of the newest version, the number of that step in the returned one.
    """
    newest = newest_route(tx.floor, pattern)
    steps = route_steps(tx.floor, newest)
    if not any(batch.route_id == newest.id for batch in tx.floor.all(Batch)):
        return newest, {step.id: step.id for step in steps}
    route = tx.add(Route(pattern_id=pattern.id, version=newest.version + 1, note=newest.note))
    return route, copy_version(tx, newest, route)


def copy_version(tx: Transaction, old: Route, new: Route) -> dict[int, int]:
    """Copy steps and rules of one version into an empty one; returns the new number of each old step."""
    copied = {step.id: tx.add(replace(step, route_id=new.id)).id for step in route_steps(tx.floor, old)}
    for rule in route_rules(tx.floor, old):
        first, then = copied[rule.first_step_id], copied[rule.then_step_id]
        tx.add(replace(rule, route_id=new.id, first_step_id=first, then_step_id=then))
    return copied


def put_in_order(tx: Transaction, steps: Sequence[RouteStep]) -> None:
    """Number steps as they stand."""
    for position, step in enumerate(steps):
        tx.change(replace(tx.current(step), position=position))


def copy_pattern(tx: Transaction, pattern: Pattern, name: str) -> Pattern:
    """Make a pattern of this name with the newest version of another one's route, rules included."""
    wanted = good_name(name, [other.name for other in tx.floor.all(Pattern)])
    newest = newest_route(tx.floor, pattern)
    made = tx.add(Pattern(name=wanted, outline=pattern.outline))
    copy_version(tx, newest, tx.add(Route(pattern_id=made.id, note=newest.note)))
    copy_for(tx, pattern, made)
    return made
