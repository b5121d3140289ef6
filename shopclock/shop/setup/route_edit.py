"""Changing a pattern's route step by step: batches that have begun keep their version, and can have steps beside it."""

from dataclasses import replace
from typing import TypedDict, Unpack

from shopclock.shop.setup.patterns import add_rule, editable, newest_route, put_in_order, route_rules, route_steps
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, OrderRule, Pattern, RouteStep, Stage, Step, Tool
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.habits import marked
from shopclock.shop.values.kinds import Kind, RuleKind
from shopclock.shop.values.names import good_name, good_number


def plain_step(stage: Stage, position: int, route_id: int = 0, strand: str = "") -> RouteStep:
    """Return a step that knows no more than its stage does: no length, no tool, begun by a press."""
    return RouteStep(
        route_id=route_id,
        position=position,
        stage_id=stage.id,
        name=stage.name,
        kind=stage.kind,
        one_by_one=stage.one_by_one,
        strand=strand,
        caution=stage.caution,
    )


def add_step(tx: Transaction, pattern: Pattern, stage: Stage, after: RouteStep | None) -> RouteStep:
    """Add a step of a stage after another one, or at the start."""
    route, now = editable(tx, pattern)
    steps = list(route_steps(tx.floor, route))
    at = next((i + 1 for i, s in enumerate(steps) if after and s.id == now[after.id]), 0)
    strand = steps[at - 1].strand if at else ""
    step = tx.add(plain_step(stage, at, route.id, strand))
    put_in_order(tx, [*steps[:at], step, *steps[at:]])
    return tx.floor.get(RouteStep, step.id)


def repeat_step(tx: Transaction, pattern: Pattern, step: RouteStep) -> RouteStep:
    """Add the same step once more after it and those like it that follow: another coat, a second temper."""
    route, now = editable(tx, pattern)
    steps = list(route_steps(tx.floor, route))
    at = next(i for i, s in enumerate(steps) if s.id == now[step.id]) + 1
    while at < len(steps) and (steps[at].stage_id, steps[at].strand) == (step.stage_id, step.strand):
        at += 1
    name = _numbered(step.name, {s.name for s in steps})
    again = tx.add(replace(tx.floor.get(RouteStep, now[step.id]), position=at, name=name))
    put_in_order(tx, [*steps[:at], again, *steps[at:]])
    return tx.floor.get(RouteStep, again.id)


def _numbered(name: str, taken: set[str]) -> str:
    head, _, tail = name.rpartition(" ")
    base, number = (head, int(tail)) if head and tail.isdigit() else (name, 1)
    while f"{base} {number + 1}" in taken:
        number += 1
    return f"{base} {number + 1}"


def remove_step(tx: Transaction, pattern: Pattern, step: RouteStep) -> None:
    """Take a step out of the route, with the rules that name it."""
    route, now = editable(tx, pattern)
    steps = [s for s in route_steps(tx.floor, route) if s.id != now[step.id]]
    if not steps:
        raise Refusal("A route needs one step. Nothing was removed.")
    for rule in route_rules(tx.floor, route):
        if now[step.id] in (rule.first_step_id, rule.then_step_id):
            tx.drop(rule)
    tx.drop(tx.floor.get(RouteStep, now[step.id]))
    put_in_order(tx, steps)


def move_step(tx: Transaction, pattern: Pattern, step: RouteStep, by: int) -> RouteStep:
    """Move a step up (negative) or down; at the end of the route it stays."""
    route, now = editable(tx, pattern)
    steps = list(route_steps(tx.floor, route))
    at = next(i for i, s in enumerate(steps) if s.id == now[step.id])
    to = min(max(at + by, 0), len(steps) - 1)
    steps.insert(to, steps.pop(at))
    put_in_order(tx, steps)
    return tx.floor.get(RouteStep, now[step.id])


class StepFields(TypedDict, total=False):
    """The fields of a step that can be changed in its route."""

    name: str
    kind: Kind
    one_by_one: bool
    begins_itself: bool
    wait_us: int | None
    minutes_us: int | None
    setup_us: int | None
    tool_id: int | None
    tool_share: float
    setting: str
    coldest_c: float | None
    warmest_c: float | None


def change_step(tx: Transaction, pattern: Pattern, step: RouteStep, **fields: Unpack[StepFields]) -> RouteStep:
    """Change fields of a step.

    A length or a setting of the maker's own is no longer the trade's common practice.
    """
    _, now = editable(tx, pattern)
    changed = replace(tx.floor.get(RouteStep, now[step.id]), **fields)
    own = fields.keys() & {"wait_us", "setting", "coldest_c"}
    return tx.change(replace(changed, common_practice=False) if own else changed)


def rename_step(tx: Transaction, pattern: Pattern, step: RouteStep, name: str) -> RouteStep:
    """Give a step another name, told apart from the other steps of its route."""
    others = [s.name for s in route_steps(tx.floor, newest_route(tx.floor, pattern)) if s.id != step.id]
    return change_step(tx, pattern, step, name=good_name(name, others))


def set_tool(tx: Transaction, pattern: Pattern, step: RouteStep, tool: Tool, typed: str = "1") -> RouteStep:
    """Say which tool a step is done with and, where that holds a load, as typed, how much of it one piece takes."""
    if tool.capacity is None:
        return change_step(tx, pattern, step, tool_id=tool.id, tool_share=1.0)
    share = good_number(typed, tool.capacity)
    if share is None:
        raise Refusal(f"{marked(typed)} is no number above 0, up to {tool.capacity:g}. Nothing was changed.")
    return change_step(tx, pattern, step, tool_id=tool.id, tool_share=share)


def set_rule(
    tx: Transaction, pattern: Pattern, kind: RuleKind, first: RouteStep, then: RouteStep, limit_s: int | None = None
) -> OrderRule:
    """Ask for an order between two steps; refused where it would go round in a circle."""
    route, now = editable(tx, pattern)
    if first.id == then.id or (kind is not RuleKind.WITHIN and first.position > then.position):
        raise Refusal(f"{first.name} comes later than {then.name} already. No rule was made.")
    if kind is RuleKind.WITHIN and not limit_s:
        raise Refusal("Within needs a time. No rule was made.")
    ends = [tx.floor.get(RouteStep, now[step.id]) for step in (first, then)]
    return add_rule(tx, route, kind, ends[0], ends[1], limit_s)


def drop_rule(tx: Transaction, pattern: Pattern, rule: OrderRule) -> None:
    """Take a rule away from the route of new batches."""
    old = {step.id: step for step in route_steps(tx.floor, newest_route(tx.floor, pattern))}
    route, now = editable(tx, pattern)
    wanted = (now[old[rule.first_step_id].id], now[old[rule.then_step_id].id], rule.kind)
    for other in route_rules(tx.floor, route):
        if (other.first_step_id, other.then_step_id, other.kind) == wanted:
            tx.drop(other)


def add_batch_step(tx: Transaction, batch: Batch, stage: Stage, after: Step | None) -> Step:
    """Add a step of a stage to this batch alone, after another of its steps or at the start.

    Pieces that are through a later step count as through this one.
    """
    if batch.closed_us is not None:
        raise Refusal(f"{batch.name} is closed. Nothing was added.")
    steps = list(tx.floor.steps(batch.id))
    at = next((i + 1 for i, step in enumerate(steps) if after is not None and step.id == after.id), 0)
    for position, step in enumerate(steps):
        tx.change(replace(tx.current(step), position=position if position < at else position + 1))
    strand = after.strand if after is not None else ""
    return tx.add(plain_step(stage, at, strand=strand).in_batch(batch.id))
