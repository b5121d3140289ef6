"""Minutes that the routes tell: what is gone by before a stage was timed."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.values.entities import Pattern, Route, Tool
from shopclock.shop.values.kinds import Kind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import RouteStep, Step

MINUTE_US = 60_000_000


def loads(floor: ShopFloor, tool_id: int | None, share: float, pieces: int) -> int:
    """Return how many times a tool has to be filled for so many pieces; once where it isn't known what it holds."""
    holds = _holds(floor, tool_id, share)
    return math.ceil(pieces / holds) if holds and pieces > 0 else 1


def _holds(floor: ShopFloor, tool_id: int | None, share: float) -> int | None:
    tool = floor.find(Tool, tool_id) if tool_id is not None else None
    if tool is None or tool.capacity is None or share <= 0:
        return None
    return max(1, math.floor(tool.capacity / share + 1e-9))


@dataclass(frozen=True, slots=True)
class RouteMinutes:
    """Minutes that a route tells of a stage: of a piece, set-up of the batch, and what is stayed by for each load.

    `watched`: minutes of a load, and how many pieces it holds (nothing: all).
    """

    each: float = 0.0
    setup: float = 0.0
    watched: tuple[tuple[float, int | None], ...] = ()

    def per_piece(self, pieces: int) -> float:
        """Return minutes a piece in a batch of so many, without set-up; 0 where the route tells none."""
        stayed = sum(minutes * (math.ceil(pieces / holds) if holds else 1) for minutes, holds in self.watched)
        return self.each + stayed / max(1, pieces)

    def plus(self, other: RouteMinutes) -> RouteMinutes:
        """Return both together."""
        return RouteMinutes(self.each + other.each, self.setup + other.setup, self.watched + other.watched)


Routes = dict[tuple[int, int], RouteMinutes]
"""By stage and pattern."""


def of_step(floor: ShopFloor, step: Step | RouteStep) -> RouteMinutes:
    """Return the minutes of a step that needs somebody; a watch of a set length lasts that for each load."""
    setup = (step.setup_us or 0) / MINUTE_US
    if step.kind is Kind.WATCH and step.wait_us:
        return RouteMinutes(0.0, setup, ((step.wait_us / MINUTE_US, _holds(floor, step.tool_id, step.tool_share)),))
    return RouteMinutes((step.minutes_us or 0) / MINUTE_US, setup)


def by_stage(floor: ShopFloor, steps: Iterable[Step | RouteStep]) -> dict[int, RouteMinutes]:
    """Return the minutes of each stage that needs somebody, in the order of first steps."""
    found: dict[int, RouteMinutes] = {}
    for step in steps:
        if step.kind.attended:
            found[step.stage_id] = found.get(step.stage_id, RouteMinutes()).plus(of_step(floor, step))
    return found


def routes_of(floor: ShopFloor) -> Routes:
    """Return what the newest route of each pattern tells, put-away ones too."""
    found: Routes = {}
    routed = {route.pattern_id for route in floor.all(Route)}
    for pattern in (one for one in floor.all(Pattern) if one.id in routed):
        steps = route_steps(floor, newest_route(floor, pattern))
        found |= {(stage, pattern.id): minutes for stage, minutes in by_stage(floor, steps).items()}
    return found


def log_per_piece(
    routes: Mapping[tuple[int, int], RouteMinutes], stage: int, pattern: int, pieces: int
) -> float | None:
    """Return ln minutes a piece of a stage; by the mean of the other patterns' where its own tells none.

    Nothing where none does.
    """
    own = routes.get((stage, pattern))
    told = own.per_piece(pieces) if own is not None else 0.0
    if told > 0:
        return math.log(told)
    others = [r.per_piece(pieces) for (s, _), r in routes.items() if s == stage]
    logs = [math.log(minutes) for minutes in others if minutes > 0]
    return math.fsum(logs) / len(logs) if logs else None


def whole(routes: Mapping[tuple[int, int], RouteMinutes], stage_id: int) -> Routes:
    """Return the routes' minutes of all stages together, as those of one stage."""
    found: dict[int, RouteMinutes] = defaultdict(RouteMinutes)
    for (_, pattern), minutes in routes.items():
        found[pattern] = found[pattern].plus(minutes)
    return {(stage_id, pattern): minutes for pattern, minutes in found.items()}
