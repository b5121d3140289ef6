"""Makers do all that is left, in all draws at once; what lies in the tools meanwhile."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.shop.values.errors import ShopError
from shopclock.shop.work.loads import NEARLY, agree

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.forecast.remaining_work import Task
    from shopclock.analysis.forecast.shop_hours import WorkedHours

    Floats = npt.NDArray[np.float64]
    Ints = npt.NDArray[np.int64]


class ToolCapacity:
    """Until when each wait lies in its tool, by draw; 0 where it doesn't yet.

    Several lie in a tool together while they fill no more than it holds and their settings agree. What was put in
    for later counts as lying there until its end: nothing is planned into a gap before it.
    """

    def __init__(self, tasks: Sequence[Task], draws: int) -> None:
        import numpy as np

        self._tasks = tasks
        self._until = np.zeros((len(tasks), draws))
        self._rows: dict[int, list[int]] = defaultdict(list)
        for j, task in enumerate(tasks):
            if task.tool is not None and task.labour is None:
                self._rows[task.tool].append(j)

    def empty_at(self, tool: int) -> Floats:
        """Return when the last comes out of a tool, by draw; 0 where nothing was put in."""
        import numpy as np

        rows = self._rows[tool]
        return self._until[rows].max(axis=0) if rows else np.zeros(self._until.shape[1])

    def put(self, j: int, draws: Ints, until: Floats) -> None:
        """Let a wait lie in its tool."""
        self._until[j, draws] = until

    def free_at(self, j: int, draws: Ints, start: Floats, next_open: Callable[[Floats], Floats]) -> Floats:
        """Return when there is room for a wait: at its start, or once something came out and somebody is there."""
        import numpy as np

        there = self._there(j, draws, start)
        if not there:
            return start
        until = self._until[there][:, draws]
        fills = np.array([self._tasks[k].fills for k in there])
        clashes = np.array([not agree(self._tasks[k].setting, self._tasks[j].setting) for k in there])
        found = np.full(start.size, np.inf)
        for at in (start, *(np.where(end > start, next_open(np.maximum(end, start)), np.inf) for end in until)):
            lies = until > at
            fits = fills @ lies + self._tasks[j].fills <= 1 + NEARLY
            fits &= ~lies[clashes].any(axis=0)
            found = np.where(fits, np.minimum(found, at), found)
        return found

    def _there(self, j: int, draws: Ints, start: Floats) -> list[int]:
        """Return the waits that lie in a wait's tool beyond its start in some draw."""
        tool = self._tasks[j].tool
        rows = self._rows[tool] if tool is not None else []
        return [k for k in rows if k != j and bool((self._until[k, draws] > start).any())]


@dataclass(frozen=True, slots=True)
class Run:
    """Begin and end of each task (tasks × draws), in minutes from now, and the place of who does it; −1 for waits."""

    begins: Floats
    ends: Floats
    who: Ints


@dataclass(frozen=True, slots=True)
class Worker:
    """A maker at work: the hours and what they yield, and the stages that are done (none: every one)."""

    worked: WorkedHours
    stages: frozenset[int] = frozenset()


class Simulation:
    """The state of all draws while tasks are done.

    Whoever can begin first takes the first task by rank that is ready, keeps at it until it is done, and waits for the
    soonest when none is; what nobody does is done by all. Each works as quickly as the shop does. A wait begins when
    what comes before it ends, if its tool has room at its setting; after another wait, and for each further load, when
    somebody is there. Work at a tool waits until nothing lies in it.
    """

    def __init__(self, tasks: Sequence[Task], workers: Sequence[Worker], draws: int) -> None:
        import numpy as np

        self._tasks, self._workers = tasks, workers
        n = len(tasks)
        does = np.array([[not w.stages or task.stage_id in w.stages for task in tasks] for w in workers])
        self._does = does.reshape(len(workers), n) | ~does.reshape(len(workers), n).any(axis=0)
        self._who = np.full((n, draws), -1)
        self._begins = np.full((n, draws), np.inf)
        self._ends = np.full((n, draws), np.inf)
        self._ready = np.full((n, draws), np.inf)
        self._latest = np.zeros((n, draws))
        self._missing = np.repeat(np.array([[len(t.needs)] for t in tasks], np.int16).reshape(n, 1), draws, axis=1)
        self._left = np.zeros(n, np.int64)
        self._room = ToolCapacity(tasks, draws)
        self._after: dict[int, list[int]] = defaultdict(list)
        for j, task in enumerate(tasks):
            for need in task.needs:
                self._after[need].append(j)

    def run(self) -> Run:
        """Do all tasks; a circle among them is told."""
        import numpy as np

        every = np.arange(self._ready.shape[1])
        ready = [j for j, task in enumerate(self._tasks) if not task.needs]
        for j in sorted(ready, key=lambda j: not self._tasks[j].lying):
            self._open(j, every)
        now = np.zeros((len(self._workers), every.size))
        for _ in range(sum(task.labour is not None for task in self._tasks)):
            self._work(now, every)
        return Run(self._begins, self._ends, self._who)

    def _next_open(self, at: Floats) -> Floats:
        """Return when somebody can be in the shop."""
        import numpy as np

        found: Floats = np.minimum.reduce([worker.worked.hours.next_open(at) for worker in self._workers])
        return found

    def _work(self, now: Floats, every: Ints) -> None:
        """Let one maker of each draw do one task: who can begin first. `now` is when each is free (makers × draws)."""
        import numpy as np

        rows = np.flatnonzero(self._left)
        if not rows.size:
            raise ShopError(
                "Some steps wait for each other, so nothing can be planned. Look at the rules of the route."
            )
        ready, does = self._ready_at(rows), self._does[:, rows]
        can = np.full(now.shape, np.inf)
        for m, worker in enumerate(self._workers):
            if does[m].any():
                can[m] = worker.worked.hours.next_open(np.maximum(now[m], ready[does[m]].min(axis=0)))
        who, here = np.argmin(can, axis=0), can.min(axis=0)
        chosen = rows[np.argmax((ready <= here) & does[who].T, axis=0)]
        labour = np.empty(every.size)
        parts = {int(j): every[chosen == j] for j in np.unique(chosen)}
        for j, draws in parts.items():
            labour[draws] = self._labour(j)[draws]
        ends = np.empty(every.size)
        for m, worker in enumerate(self._workers):
            own = who == m
            if own.any():
                ends[own] = worker.worked.after(here, np.where(own, labour, 0.0))[own]
                now[m, own] = ends[own]
        for j, draws in parts.items():
            self._who[j, draws] = who[draws]
            self._begins[j, draws] = here[draws]
            self._ready[j, draws] = np.inf
            self._left[j] -= draws.size
            self._finish(j, draws, ends[draws])

    def _labour(self, j: int) -> Floats:
        labour = self._tasks[j].labour
        assert labour is not None  # noqa: S101 - only work gets into the ready rows
        return labour

    def _ready_at(self, rows: Ints) -> Floats:
        """Return when tasks can begin: what needs a tool waits until it is free."""
        import numpy as np

        ready: Floats = self._ready[rows]
        for i, j in enumerate(rows):
            tool = self._tasks[j].tool
            if tool is not None:
                ready[i] = np.maximum(ready[i], self._room.empty_at(tool))
        return ready

    def _finish(self, j: int, draws: Ints, at: Floats) -> None:
        import numpy as np

        self._ends[j, draws] = at
        for k in self._after[j]:
            self._latest[k, draws] = np.maximum(self._latest[k, draws], at)
            self._missing[k, draws] -= 1
            self._open(k, draws[self._missing[k, draws] == 0])

    def _open(self, j: int, draws: Ints) -> None:
        """Make a task ready whose needs are all done; a wait begins."""
        if not draws.size:
            return
        if self._tasks[j].labour is None:
            self._wait(j, draws)
            return
        self._ready[j, draws] = self._latest[j, draws]
        self._left[j] += draws.size

    def _wait(self, j: int, draws: Ints) -> None:
        """Let a wait go by: begun at once if there is room, else when there is and somebody is there."""
        task, start = self._tasks[j], self._latest[j, draws]
        if task.by_hand:
            start = self._next_open(start)
        if task.tool is not None and not task.lying:
            start = self._room.free_at(j, draws, start, self._next_open)
        self._begins[j, draws] = start
        end = start + task.wait_min
        for _ in range(task.loads - 1):
            end = self._next_open(end) + task.wait_min
        if task.tool is not None:
            self._room.put(j, draws, end)
        self._finish(j, draws, end)
