"""One maker works through the tasks of all batches, in all draws at once."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.analysis.plan.tool_capacity import ToolCapacity
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.forecast.shop_hours import WorkedHours
    from shopclock.analysis.forecast.task import Task

    Floats = npt.NDArray[np.float64]
    Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Run:
    """When each task began and ended (tasks × draws), in minutes from now."""

    begins: Floats
    ends: Floats


class Simulation:
    """The state of all draws while tasks are done.

    The maker takes the first task by rank that is ready, keeps at it until it is done, and waits for the soonest when
    none is. A wait begins when what comes before it ends, if its tool has room at its setting; after another wait, and
    for each further load, when somebody is there. Work at a tool waits until nothing lies in it.
    """

    def __init__(self, tasks: Sequence[Task], worked: WorkedHours, draws: int) -> None:
        import numpy as np

        self._tasks, self._worked, self._hours = tasks, worked, worked.hours
        n = len(tasks)
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
        now = np.zeros(every.size)
        for _ in range(sum(task.labour is not None for task in self._tasks)):
            now = self._work(now, every)
        return Run(self._begins, self._ends)

    def _work(self, now: Floats, every: Ints) -> Floats:
        """Let the maker of each draw do one task."""
        import numpy as np

        rows = np.flatnonzero(self._left)
        if not rows.size:
            raise ShopError(
                "Some steps wait for each other, so nothing can be planned. Look at the rules of the route."
            )
        ready = self._ready_at(rows)
        here = self._hours.next_open(np.maximum(now, ready.min(axis=0)))
        chosen = rows[np.argmax(ready <= here, axis=0)]
        labour = np.empty(every.size)
        parts = {int(j): every[chosen == j] for j in np.unique(chosen)}
        for j, draws in parts.items():
            labour[draws] = self._labour(j)[draws]
        ends = self._worked.after(here, labour)
        for j, draws in parts.items():
            self._begins[j, draws] = here[draws]
            self._ready[j, draws] = np.inf
            self._left[j] -= draws.size
            self._finish(j, draws, ends[draws])
        return ends

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
            start = self._hours.next_open(start)
        if task.tool is not None and not task.lying:
            start = self._room.free_at(j, draws, start, self._hours.next_open)
        self._begins[j, draws] = start
        end = start + task.wait_min
        for _ in range(task.loads - 1):
            end = self._hours.next_open(end) + task.wait_min
        if task.tool is not None:
            self._room.put(j, draws, end)
        self._finish(j, draws, end)
