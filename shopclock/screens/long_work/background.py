"""Long work beside the window: a pure function in another process, its answer back on the main thread."""

from __future__ import annotations

from collections import deque
from contextlib import nullcontext
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer

from shopclock.screens.long_work.long_work import LongWork
from shopclock.screens.long_work.runner import NoProgressDisplay
from shopclock.screens.long_work.worker import Workers
from shopclock.shop.values.progress import UNWATCHED

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from shopclock.screens.long_work.runner import Failed, ProgressDisplay, Task, Then
    from shopclock.shop.values.progress import Progress


PAINTED_MS = 50
"""What is asked by a press begins once that is painted: starting a process takes as long as a paint."""


class Background(QObject):
    """Runs one piece of work at a time in a process of its own; presses stay as quick as ever.

    `long_work` is what runs under a bar, in another process: what is asked meanwhile need not wait for it.
    """

    def __init__(self, bar: ProgressDisplay | None = None) -> None:
        super().__init__()
        self.workers = Workers()
        self.long_work = LongWork(bar if bar is not None else NoProgressDisplay(), self.workers)
        self._waiting: deque[tuple[Task, tuple[Any, ...], Then, Failed]] = deque()
        self._busy = False
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(PAINTED_MS)
        self._soon.timeout.connect(self._next)

    def run(self, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments)`; `then` gets its result, `failed` what it raised."""
        self._waiting.append((task, arguments, then, failed))
        self._soon.start()

    def run_long(self, words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments, progress=…)` under the bar; see Work."""
        self.long_work.run(words, task, arguments, then, failed)

    def one_moment(self) -> AbstractContextManager[Progress]:
        """Have the bar say that the window waits; see Work."""
        return self.long_work.one_moment()

    def close(self) -> None:
        """Wait for what runs and end the processes."""
        self._soon.stop()
        self._waiting.clear()
        self.long_work.close()
        self.workers.close()

    def _next(self) -> None:
        if self._busy or not self._waiting:
            return
        task, arguments, then, failed = self._waiting.popleft()
        self._busy = True

        def heard(what: str, more: Any) -> None:
            if what in ("done", "failed"):
                self._busy = False
                try:
                    (then if what == "done" else failed)(more)
                finally:
                    self._next()

        self.workers.start(task, arguments, heard, watched=False)


class AtOnce:
    """For tests and drawings: the same, done on the spot."""

    def run(self, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Do `task(*arguments)` now."""
        try:
            result = task(*arguments)
        except Exception as error:  # noqa: BLE001  # whatever it is, it is handed on
            failed(error)
        else:
            then(result)

    def run_long(self, _words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Do it now, watched by nobody."""
        self.run(lambda: task(*arguments, progress=UNWATCHED), (), then, failed)

    def one_moment(self) -> AbstractContextManager[Progress]:
        """Nobody watches."""
        return nullcontext(UNWATCHED)

    def close(self) -> None:
        """Nothing is left running."""
