"""Remaining work of a batch, step by step: as it stands on the floor, or as its route will have it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from statistics import median
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.stage_forecast import StageJob
from shopclock.analysis.learning.route_minutes import by_stage
from shopclock.shop.figures.piece_labour import piece_labour
from shopclock.shop.setup.patterns import newest_route, route_steps
from shopclock.shop.setup.sent_out import days_of
from shopclock.shop.state.shop_floor import since_us
from shopclock.shop.values.entities import Interval, RouteStep, Stage, Step
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Kind, WorkKind
from shopclock.shop.work.piece_progress import circle, earlier_in_route, order_of, over, ready_at, through

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.record.read.rows import IntervalRow
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Batch, Pattern

    Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Task:
    """A step of a batch that is still to do, in a list by rank: who comes first is done first if it can be.

    `batch` is the batch's place in the order of promise, `needs` the tasks that come before. Work has `labour` by
    draw, in minutes; a wait has none and lasts `wait_min`, `loads` times one after the other in its `tool`, of which it
    `fills` so much (1: all of it) at a `setting`. `by_hand`: it follows another wait and doesn't begin by itself.
    `lying`: it is in its tool already. `stage_id` says who can do it, where not every maker does every stage.
    """

    batch: int
    step_id: int
    name: str
    needs: tuple[int, ...]
    labour: Floats | None
    wait_min: float = 0.0
    loads: int = 1
    tool: int | None = None
    by_hand: bool = False
    fills: float = 1.0
    setting: str = ""
    lying: bool = False
    stage_id: int = 0


LAST = 8
DAY_MIN = 24 * 60


def away_min(floor: ShopFloor, rows: Iterable[IntervalRow]) -> dict[int, float]:
    """Return the minutes that pieces are usually away, by stage: the median of the last eight times they were.

    Where they never were, the days that its cost was told with; a stage of which neither is known is left out.
    """
    told = {stage.id: days_of(floor, stage.id) for stage in floor.all(Stage)}
    found = {stage: float(days * DAY_MIN) for stage, days in told.items() if days is not None}
    away: dict[int, list[float]] = defaultdict(list)  # by start; pieces that went together count once
    for row in rows:
        if row.kind is Kind.AWAY and row.end_us is not None:
            away[row.stage_id].append((row.end_us - row.start_us) / MINUTE_US)
    return found | {stage: median(lengths[-LAST:]) for stage, lengths in away.items()}


MINUTE_US = 60_000_000
NO_LENGTH_MIN = {Kind.WAIT: 12 * 60.0, Kind.AWAY: 7 * 24 * 60.0}
"""A wait that has no length of its own lasts over night, work sent out a week; the plan says that it took that."""

NOT_KNOWN: Mapping[int, float] = {}


@dataclass(frozen=True, slots=True)
class RemainingStep:
    """A step still to do. `share` is its part of the stage's labour for all pieces, `spent_min` what was done of it.

    `needs` are places in the list of the batch. `held_min`: it runs, and is over in so many minutes. `guessed`: the
    wait has no length of its own.
    """

    step_id: int
    stage_id: int
    name: str
    kind: Kind
    needs: tuple[int, ...]
    share: float
    spent_min: float
    wait_min: float
    tool_id: int | None
    tool_share: float
    setting: str
    held_min: float | None
    begins_itself: bool
    guessed: bool


@dataclass(frozen=True, slots=True)
class RemainingWork:
    """A batch as it stands, or one to come (`batch_id` nothing): its pieces, stages and steps that are left."""

    batch_id: int | None
    name: str
    pattern_id: int
    pieces: int
    stages: tuple[StageJob, ...]
    steps: tuple[RemainingStep, ...]


def of_batch(floor: ShopFloor, batch: Batch, now_us: int, away_min: Mapping[int, float] = NOT_KNOWN) -> RemainingWork:
    """Return what is left to do in an open batch; pieces that were set aside are not counted on.

    `away_min`: minutes that a stage which is sent out usually takes, for steps without a length of their own.
    """
    order, reached = order_of(floor, batch.id), through(floor, batch.id)
    _no_circle(order.earlier, {step.id: step.name for step in order.steps})
    living = [piece.id for piece in floor.living(batch.id) if not piece.set_aside]
    left = {s.id: [p for p in living if p not in reached[s.id]] for s in order.timed}
    open_steps = [step for step in order.timed if left[step.id]]
    needs = _needs(open_steps, order.needed)
    weights = _weights(order.timed)
    steps = tuple(
        _to_do(
            floor,
            step,
            needs[step.id],
            weights[step.id] * len(left[step.id]) / len(living),
            now_us,
            left[step.id],
            away_min,
        )
        for step in open_steps
    )
    worked = sorted(floor.of_batch(Interval, batch.id), key=lambda i: (i.start_us, i.id))
    methods = {i.stage_id: i.method_id for i in worked if i.work is WorkKind.RUN}  # the one worked last, of each stage
    stages = tuple(_stage_jobs(floor, order.timed, len(living), methods))
    return RemainingWork(batch.id, batch.name, batch.pattern_id, len(living), stages, steps)


def larger(floor: ShopFloor, found: RemainingWork, more: int) -> RemainingWork | None:
    """Return an open batch with more blanks in it; nothing where it was begun, so that they can't go with it."""
    if found.batch_id is None or floor.of_batch(Interval, found.batch_id):
        return None
    order, reached = order_of(floor, found.batch_id), through(floor, found.batch_id)
    if any(reached[step.id] for step in order.timed):
        return None
    pieces = found.pieces + more
    return replace(found, pieces=pieces, stages=tuple(_stage_jobs(floor, order.timed, pieces, {})))


def of_pattern(
    floor: ShopFloor, pattern: Pattern, pieces: int, name: str, away_min: Mapping[int, float] = NOT_KNOWN
) -> RemainingWork:
    """Return all that is to do in a new batch of a pattern; `away_min` as in `of_batch`."""
    route = newest_route(floor, pattern)
    every, earlier = route_steps(floor, route), earlier_in_route(floor, route.id)
    _no_circle(earlier, {step.id: step.name for step in every})
    needs, weights = _needs(every, earlier), _weights(every)
    steps = tuple(_to_do(floor, step, needs[step.id], weights[step.id], 0, (), away_min) for step in every)
    return RemainingWork(None, name, pattern.id, pieces, tuple(_stage_jobs(floor, every, pieces, {})), steps)


def _no_circle(earlier: Mapping[int, frozenset[int]], names: Mapping[int, str]) -> None:
    found = circle(earlier)
    if found is not None:
        one, other = sorted(names[step] for step in found)
        raise ShopError(
            f"{one} and {other} each have to come before the other, so nothing can be planned. "
            "Drop one of these rules of the route."
        )


def _needs(steps: Sequence[Step | RouteStep], earlier: Mapping[int, frozenset[int]]) -> dict[int, tuple[int, ...]]:
    """Return the steps right before each, as places in the list; what comes before those is left out."""
    place = {step.id: i for i, step in enumerate(steps)}
    found = {}
    for step in steps:
        before = {s for s in earlier[step.id] if s in place}
        direct = before - {further for s in before for further in earlier[s]}
        found[step.id] = tuple(sorted(place[s] for s in direct))
    return found


def _weights(steps: Sequence[Step | RouteStep]) -> dict[int, float]:
    """Return the part that each attended step has of its stage's labour, by the route's minutes where all have them."""
    found = {}
    for step in steps:
        own = [s for s in steps if s.stage_id == step.stage_id and s.kind.attended]
        minutes = [s.minutes_us or 0 for s in own]
        known = all(minutes) and step.minutes_us
        found[step.id] = (step.minutes_us or 0) / sum(minutes) if known else 1 / max(1, len(own))
    return found


def _stage_jobs(
    floor: ShopFloor, steps: Sequence[Step | RouteStep], pieces: int, methods: Mapping[int, int | None]
) -> list[StageJob]:
    """Return the stages that need somebody, in the order of their first steps, with the route's own minutes."""
    names: dict[int, str] = {}
    for step in steps:
        names.setdefault(step.stage_id, step.name)
    return [
        StageJob(stage, names[stage], methods.get(stage), told.per_piece(pieces), told.setup)
        for stage, told in by_stage(floor, steps).items()
    ]


def _to_do(
    floor: ShopFloor,
    step: Step | RouteStep,
    needs: tuple[int, ...],
    share: float,
    now_us: int,
    left: Sequence[int],
    away_min: Mapping[int, float],
) -> RemainingStep:
    sent = away_min.get(step.stage_id) if step.kind is Kind.AWAY else None
    wait = step.wait_us / MINUTE_US if step.wait_us is not None else sent
    return RemainingStep(
        step_id=step.id,
        stage_id=step.stage_id,
        name=step.name,
        kind=step.kind,
        needs=needs,
        share=share,
        spent_min=_spent(floor, step, left, now_us) if isinstance(step, Step) else 0.0,
        wait_min=0.0 if step.kind.attended else wait if wait is not None else NO_LENGTH_MIN[step.kind],
        tool_id=step.tool_id,
        tool_share=step.tool_share,
        setting=step.setting,
        held_min=_held(floor, step, left, now_us, wait) if isinstance(step, Step) else None,
        begins_itself=step.begins_itself,
        guessed=not step.kind.attended and wait is None,
    )


def _spent(floor: ShopFloor, step: Step, left: Sequence[int], now_us: int) -> float:
    rows = piece_labour(floor, step.batch_id, now_us)
    own = (r.us for r in rows if r.step_id == step.id and r.piece_id in left and r.work is WorkKind.RUN)
    return sum(own) / MINUTE_US


def _held(floor: ShopFloor, step: Step, left: Sequence[int], now_us: int, wait: float | None) -> float | None:
    """Return the minutes until a running wait lets its last piece go; nothing where some pieces aren't in it yet.

    One without an end of its own lasts as long as is usual, or assumed; what is over that is ready from now on.
    """
    own = [i for i in floor.running.values() if i.step_id == step.id and not step.kind.attended]
    if not set(left) <= {piece for i in own for piece in i.pieces}:
        return None
    usual_us = round((NO_LENGTH_MIN[step.kind] if wait is None else wait) * MINUTE_US) if own else 0
    ends = [ready_at(floor, i) or since_us(floor, i) + usual_us for i in own if not over(floor, i, now_us)]
    return max((end - now_us for end in ends if end > now_us), default=0) / MINUTE_US
