"""What lies in the tools while a plan is worked through, in all draws at once."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from shopclock.shop.work.loads import NEARLY, agree

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import numpy as np
    import numpy.typing as npt

    from shopclock.analysis.forecast.task import Task

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
