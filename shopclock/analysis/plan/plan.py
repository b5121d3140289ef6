"""Dates of all open batches, and perhaps a new one, through the makers' hours, as draws."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from shopclock.analysis.forecast.forecast import DRAWS, LIKELY, QUICK_DRAWS, SEED, Forecast, at, forecasts, job_of
from shopclock.analysis.forecast.history import history_of
from shopclock.analysis.forecast.remaining_work import (
    MINUTE_US,
    RemainingStep,
    RemainingWork,
    Task,
    away_min,
    larger,
    of_batch,
    of_pattern,
)
from shopclock.analysis.forecast.shop_hours import (
    ENOUGH_WEEKS,
    WEEKS,
    Hours,
    WorkedHours,
    drawn_yields,
    hours_from,
    week_yields,
)
from shopclock.analysis.forecast.stage_forecast import ShopEstimates
from shopclock.analysis.plan.claims import still_to_begin, to_go_round
from shopclock.analysis.plan.simulation import Run, Simulation, Worker
from shopclock.shop.planning.plan_order import in_order
from shopclock.shop.setup.week import planned_makers
from shopclock.shop.values.entities import Pattern, Tool
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work.makers import stages_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.record.read.read_only import Reads
    from shopclock.shop.state.shop_floor import ShopFloor
    from shopclock.shop.values.entities import Maker

    Floats = npt.NDArray[np.float64]
    Ints = npt.NDArray[np.int64]

DAY_MIN = 24 * 60.0
OTHER = -1
"""Batch of work that is none of the plan's."""
ALL_WORKED, HALF_WORKED = "if all planned hours are worked", "if half of them are"
NO_HOURS = "The shop's week has no hours yet, so no date can be told. Add hours under Plan."


@dataclass(frozen=True, slots=True)
class PlanChange:
    """A change to plan with: more hours (weekday, from, to), tools of another capacity, steps sent out for days."""

    extra_hours: tuple[tuple[int, int, int], ...] = ()
    capacities: Mapping[int, float] = field(default_factory=dict)
    sent_out: Mapping[int, float] = field(default_factory=dict)
    """Days away, by stage: the work is done elsewhere, pieces are gone for so long."""
    no_waits: bool = False
    hours_factor: float = 1.0
    """Work that the planned hours yield, as a multiple of today's."""
    first_min: float = 0.0
    """Other work that is done first, in minutes."""


NOTHING_CHANGED = PlanChange()


@dataclass(frozen=True, slots=True)
class Plan:
    """All batches in the order of promise, when each is done by draw, and what it rests on.

    `hours` are those in which anybody is there, `makers` who, by name, and when.
    """

    batches: tuple[RemainingWork, ...]
    forecasts: tuple[Forecast, ...]
    tasks: tuple[Task, ...]
    run: Run
    hours: Hours
    yields: tuple[float, ...]
    makers: tuple[tuple[str, Hours], ...] = ()

    def done(self, index: int) -> Floats:
        """Return when a batch is done, in minutes from now (draws); a batch with nothing left is done now."""
        import numpy as np

        own = [j for j, task in enumerate(self.tasks) if task.batch == index]
        found: Floats = self.run.ends[own].max(axis=0) if own else np.zeros(self.run.ends.shape[1])
        return found

    @property
    def dated(self) -> bool:
        """Enough past weeks are known to say how often a date holds."""
        return len(self.yields) >= ENOUGH_WEEKS

    @property
    def how_sure(self) -> str:
        """Words for how sure a date at 80 % is; under four weeks it goes by all planned hours."""
        return "8 times in 10" if self.dated else ALL_WORKED

    def instant(self, minutes: float) -> int | None:
        """Return the instant so many minutes from now; nothing beyond the hours ahead."""
        return None if minutes > self.hours.ends[-1] else self.hours.now_us + round(minutes * MINUTE_US)

    def done_us(self, index: int, share: float) -> int | None:
        """Return the instant by which a batch is done in this share of draws; nothing beyond the hours ahead."""
        return self.instant(at(self.done(index), share))

    def holds(self, index: int, until_us: int) -> float:
        """Return the share of draws in which a batch is done by an instant."""
        import numpy as np

        return float(np.mean(self.done(index) <= (until_us - self.hours.now_us) / MINUTE_US))

    def free(self, floor: ShopFloor, pattern_id: int) -> dict[int, Ints]:
        """Return how many pieces without a letter for anybody each batch of a pattern brings, by its place (draws)."""
        own = [i for i, batch in enumerate(self.batches) if batch.pattern_id == pattern_id]
        return {i: to_go_round(floor, self.batches[i].batch_id, self.forecasts[i].finished) for i in own}

    def ready(self, free: Mapping[int, Ints], wanted: int) -> Floats:
        """Return when there are so many, in minutes from now (draws): batch after batch as each is done.

        `free`: what each batch brings, by its place. Infinite where too many are lost.
        """
        import numpy as np

        if not free:
            return np.full(self.run.ends.shape[1], np.inf)
        done = np.array([self.done(i) for i in free])
        pieces = np.array(list(free.values()))
        order = np.argsort(done, axis=0)
        sums = np.cumsum(np.take_along_axis(pieces, order, axis=0), axis=0)
        enough = sums >= wanted
        at_which = np.argmax(enough, axis=0)[None, :]
        when: Floats = np.take_along_axis(np.take_along_axis(done, order, axis=0), at_which, axis=0)[0]
        return np.where(enough.any(axis=0), when, np.inf)

    def median_draw(self, index: int) -> int:
        """Return the draw whose date of a batch lies in the middle: the one that a day-by-day plan shows."""
        import numpy as np

        done = self.done(index)
        return int(np.argmin(np.abs(done - at(done, 0.5))))

    @property
    def guessed(self) -> tuple[str, ...]:
        """The waits without a length of their own, for which one was assumed."""
        return tuple(dict.fromkeys(step.name for batch in self.batches for step in batch.steps if step.guessed))


def plan(
    floor: ShopFloor,
    knowledge: ShopEstimates,
    batches: Sequence[RemainingWork],
    yields: Sequence[float],
    now_us: int,
    change: PlanChange = NOTHING_CHANGED,
    draws: int = DRAWS,
) -> Plan:
    """Plan batches in this order of promise. The same record, seed and order give the same draws.

    All batches share the error of what is known of the shop. What is drawn for one doesn't depend on those after it, so
    that two plans can be compared draw by draw.
    """
    import numpy as np

    own = _hours_of_each(floor, now_us, change)
    hours = hours_from(floor, now_us, WEEKS, change.extra_hours, [maker.id for maker, _ in own] or (None,))
    if hours.none:
        raise ShopError(NO_HOURS)
    jobs = [job_of(knowledge.history, b.pattern_id, b.pieces, b.stages, b.batch_id) for b in batches]
    told = forecasts(knowledge, jobs, draws)
    tasks = [Task(OTHER, 0, "", (), np.full(draws, change.first_min))] if change.first_min else []
    for i, (batch, one) in enumerate(zip(batches, told, strict=True)):
        tasks += _tasks(floor, batch, one, i, len(tasks), change)
    weeks = hours.week_planned.size - 1
    drawn = drawn_yields(yields, weeks, draws, np.random.default_rng(SEED))
    yields_of_weeks = drawn * change.hours_factor
    workers = [Worker(WorkedHours(each, yields_of_weeks), stages_of(floor, maker)) for maker, each in own]
    run = Simulation(tasks, workers, draws).run()
    return Plan(tuple(batches), told, tuple(tasks), run, hours, tuple(yields), tuple((m.name, h) for m, h in own))


def _hours_of_each(floor: ShopFloor, now_us: int, change: PlanChange) -> list[tuple[Maker, Hours]]:
    """Return the makers who have hours, each with them; more hours are the first maker's."""
    found = []
    for n, maker in enumerate(planned_makers(floor)):
        own = hours_from(floor, now_us, WEEKS, () if n else change.extra_hours, [maker.id])
        if not own.none:
            found.append((maker, own))
    return found


def _tasks(
    floor: ShopFloor, batch: RemainingWork, told: Forecast, index: int, first: int, change: PlanChange
) -> list[Task]:
    """Return a batch's tasks, with places in the list of all; labour is the stage's draw by the step's share."""
    stage_at = {stage.job.stage_id: i for i, stage in enumerate(told.stages)}
    found = []
    for step in batch.steps:
        needs = tuple(first + i for i in step.needs)
        away = change.sent_out.get(step.stage_id)
        if step.kind.attended and away is None:
            labour = told.minutes[stage_at[step.stage_id]]
            tool = step.tool_id if step.kind is Kind.WATCH and _capacity(floor, step, change) is not None else None
            left = _left(labour, step, batch.pieces)
            found.append(Task(index, step.step_id, step.name, needs, left, tool=tool, stage_id=step.stage_id))
        else:
            after_wait = any(not batch.steps[i].kind.attended for i in step.needs) and not step.begins_itself
            wait = _wait(floor, step, index, needs, batch.pieces, change, away)
            found.append(replace(wait, by_hand=after_wait and not change.no_waits))
    return found


def labour_left(
    floor: ShopFloor, knowledge: ShopEstimates, batches: Sequence[RemainingWork], draws: int = DRAWS
) -> list[Floats | None]:
    """Return the labour that each batch still takes, in minutes (draws); nothing where a stage of it is unknown.

    It needs no planned hours: it is work, not a date.
    """
    import numpy as np

    jobs = [job_of(knowledge.history, b.pattern_id, b.pieces, b.stages, b.batch_id) for b in batches]
    found: list[Floats | None] = []
    for batch, told in zip(batches, forecasts(knowledge, jobs, draws), strict=True):
        tasks = _tasks(floor, batch, told, 0, 0, NOTHING_CHANGED)
        labour = [task.labour for task in tasks if task.labour is not None]
        found.append(np.sum(labour, axis=0) if told.tells and labour else None)
    return found


def _left(labour: Floats, step: RemainingStep, pieces: int) -> Floats:
    """Return what is left of a step's labour; what was begun takes one piece's time at least."""
    import numpy as np

    whole = labour * step.share
    left: Floats = np.maximum(whole - step.spent_min, whole / max(1, pieces))
    return left


def _wait(
    floor: ShopFloor,
    step: RemainingStep,
    index: int,
    needs: tuple[int, ...],
    pieces: int,
    change: PlanChange,
    away: float | None,
) -> Task:
    if away is not None:
        return Task(index, step.step_id, step.name, needs, None, away * DAY_MIN)
    if change.no_waits:
        return Task(index, step.step_id, step.name, needs, None, 0.0)
    if step.held_min is not None:
        held = Task(index, step.step_id, step.name, needs, None, step.held_min, lying=True)
        return _in_tool(floor, held, step, pieces, change)
    return _in_tool(floor, Task(index, step.step_id, step.name, needs, None, step.wait_min), step, pieces, change)


def _in_tool(floor: ShopFloor, wait: Task, step: RemainingStep, pieces: int, change: PlanChange) -> Task:
    """Return a wait with its tool: how much of it is filled, and how often; a tool that holds no load keeps nobody."""
    capacity = _capacity(floor, step, change)
    if capacity is None or step.tool_share <= 0:
        return wait
    times = 1 if wait.lying else math.ceil(pieces / max(1, math.floor(capacity / step.tool_share + 1e-9)))
    fills = min(1.0, pieces * step.tool_share / capacity)
    return replace(wait, tool=step.tool_id, loads=times, fills=fills, setting=step.setting)


def _capacity(floor: ShopFloor, step: RemainingStep, change: PlanChange) -> float | None:
    """Return what a step's tool holds, or would hold; nothing where it holds no load."""
    tool = floor.find(Tool, step.tool_id or 0)
    return change.capacities.get(tool.id, tool.capacity) if tool is not None else None


HALF_AS_MUCH_AGAIN = 1.5


@dataclass(frozen=True, slots=True)
class Gain:
    """The thing that holds a batch up, and by how many days the date at 80 % would come nearer without it."""

    what: str
    days: float


class Planner:
    """Plans of one shop at one moment. `yields` are the last weeks' labour over planned hours.

    `rows` are all intervals, read once: years of them take longer than the plan.
    """

    def __init__(self, floor: ShopFloor, reads: Reads, now_us: int) -> None:
        self.floor, self.now_us = floor, now_us
        self.knowledge = ShopEstimates(history_of(floor, reads, now_us), now_us)
        self.rows = tuple(reads.intervals())
        self.yields = week_yields(floor, self.rows, now_us)
        self.away_min = away_min(floor, self.rows)
        self.open = tuple(of_batch(floor, batch, now_us, self.away_min) for batch in in_order(floor))
        self._owed: dict[int, tuple[RemainingWork, ...]] = {}

    def owed(self, draws: int = DRAWS) -> tuple[RemainingWork, ...]:
        """Return the batches still to begin for what is promised beyond the pieces of the open ones, one a pattern."""
        if draws not in self._owed:
            blanks = still_to_begin(self.floor, self.knowledge, self.open, draws)
            self._owed[draws] = tuple(self.new(self.floor.get(Pattern, key), n) for key, n in blanks.items())
        return self._owed[draws]

    def new(self, pattern: Pattern, pieces: int) -> RemainingWork:
        """Return a batch to come, as its route is now."""
        return of_pattern(self.floor, pattern, pieces, pattern.name, self.away_min)

    def plan(self, *more: RemainingWork, change: PlanChange = NOTHING_CHANGED, draws: int = DRAWS) -> Plan:
        """Plan the open batches, and more after them."""
        return self.plan_of((*self.open, *more), draws, change)

    def in_order(self, also: Mapping[int, str]) -> tuple[RemainingWork, ...]:
        """Return the open batches in the order they would have if some were promised for these days, too."""
        turn = {batch.id: i for i, batch in enumerate(in_order(self.floor, also))}
        return tuple(sorted(self.open, key=lambda batch: turn[batch.batch_id or 0]))

    def with_more(
        self, batches: tuple[RemainingWork, ...], pattern: Pattern, more: int
    ) -> tuple[int, tuple[RemainingWork, ...]] | None:
        """Return open batches with more blanks in the first of a pattern that wasn't begun, and its place."""
        for i, batch in enumerate(batches):
            grown = larger(self.floor, batch, more) if batch.pattern_id == pattern.id else None
            if grown is not None:
                return i, (*batches[:i], grown, *batches[i + 1 :])
        return None

    def plan_of(
        self, batches: Sequence[RemainingWork], draws: int = DRAWS, change: PlanChange = NOTHING_CHANGED
    ) -> Plan:
        """Plan these batches alone."""
        return plan(self.floor, self.knowledge, batches, self.yields, self.now_us, change, draws)

    @property
    def rests_on(self) -> str:
        """Say what the hours rest on where there is little: nothing where four weeks or more are known."""
        n = len(self.yields)
        if not n:
            return "No week with planned hours has been timed yet: counted as if each of them were worked."
        if n >= ENOUGH_WEEKS:
            return ""
        weeks = "week tells" if n == 1 else "weeks tell"
        return (
            f"Only {n} past {weeks} how planned hours are kept: from {ENOUGH_WEEKS} on dates say how often they hold."
        )

    def bottleneck(self, index: int, *more: RemainingWork) -> Gain:
        """Return what holds a batch up most, and the days that it costs.

        Tried are half as much work again in the same hours, no waits, tools without limits, and no other batches.
        """
        batches = (*self.open, *more)
        used = {step.tool_id for batch in batches for step in batch.steps if not step.kind.attended}
        boundless = {tool.id: 1e6 for tool in self.floor.all(Tool) if tool.id in used}
        changes = {
            "hours": PlanChange(hours_factor=HALF_AS_MUCH_AGAIN),
            "waits": PlanChange(no_waits=True),
            "tools": PlanChange(capacities=boundless),
        }
        before = at(self.plan_of(batches, QUICK_DRAWS).done(index), LIKELY)
        tried = {
            what: at(self.plan_of(batches, QUICK_DRAWS, change).done(index), LIKELY) for what, change in changes.items()
        }
        tried["other batches"] = at(self.plan_of(batches[index : index + 1], QUICK_DRAWS).done(0), LIKELY)
        what = min(tried, key=lambda name: tried[name])
        return Gain(what, (before - tried[what]) / 1440)
