"""Long work beside the window: a pure function in another process, its answer back on the main thread."""

from __future__ import annotations

from contextlib import nullcontext
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, Signal

from shopclock.screens.long_work.long_work import LongWork
from shopclock.screens.long_work.runner import NoProgressDisplay
from shopclock.shop.values.progress import UNWATCHED

if TYPE_CHECKING:
    from concurrent.futures import Future, ProcessPoolExecutor
    from contextlib import AbstractContextManager

    from shopclock.screens.long_work.runner import Failed, ProgressDisplay, Task, Then
    from shopclock.shop.values.progress import Progress


class Background(QObject):
    """Runs one piece of work at a time in a process of its own; presses stay as quick as ever.

    `long_work` is what runs under a bar, in other processes: what is asked meanwhile need not wait for it.
    """

    _ended = Signal(object)

    def __init__(self, bar: ProgressDisplay | None = None) -> None:
        super().__init__()
        self.long_work = LongWork(bar if bar is not None else NoProgressDisplay())
        self._pool: ProcessPoolExecutor | None = None
        self._ended.connect(self._deliver, Qt.ConnectionType.QueuedConnection)

    def run(self, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments)`; `then` gets its result, `failed` what it raised."""
        from concurrent.futures import BrokenExecutor

        try:
            future = self._process().submit(task, *arguments)
        except BrokenExecutor:  # its process was ended from outside: another takes its place
            self._pool = None
            future = self._process().submit(task, *arguments)
        future.add_done_callback(lambda done: self._ended.emit((done, then, failed)))

    def run_long(self, words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments, progress=…)` under the bar; see Work."""
        self.long_work.run(words, task, arguments, then, failed)

    def one_moment(self) -> AbstractContextManager[Progress]:
        """Have the bar say that the window waits; see Work."""
        return self.long_work.one_moment()

    def _process(self) -> ProcessPoolExecutor:
        from concurrent.futures import ProcessPoolExecutor
        from multiprocessing import get_context

        if self._pool is None:
            self._pool = ProcessPoolExecutor(1, get_context("spawn"))
        return self._pool

    def close(self) -> None:
        """Wait for what runs and end the processes."""
        self.long_work.close()
        if self._pool is not None:
            self._pool.shutdown(wait=True, cancel_futures=True)
            self._pool = None

    @staticmethod
    def _deliver(what: tuple[Future[Any], Then, Failed]) -> None:
        done, then, failed = what
        if done.cancelled():
            return
        error = done.exception()
        if error is None:
            then(done.result())
        else:
            failed(error)


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
