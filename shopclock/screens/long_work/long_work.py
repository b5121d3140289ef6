"""Long work under one bar: what is being done, how far it is, and the press that stops it."""

from __future__ import annotations

from collections import deque
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from shopclock.shop.values.progress import Stopped

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.long_work.runner import Failed, ProgressDisplay, Task, Then
    from shopclock.screens.long_work.worker import Worker

SHORT_MS = 400
"""What is over sooner is never seen."""
STOPPED_MS = 4000
STOPPING = "Stopping"


class LongJob:
    """One piece of long work: what is said of it, and whether it is to stop."""

    def __init__(self, words: str, changed: Callable[[], None]) -> None:
        self.words = words
        self.share: float | None = None
        self.cancelled = False
        self.seen = False
        self.worker: Worker | None = None
        self._changed = changed

    def at(self, done: int, of: int, words: str) -> None:
        """Say how far it is; raises Stopped when it is to stop."""
        if self.cancelled:
            raise Stopped
        self.say(done, of, words)

    def say(self, done: int, of: int, words: str) -> None:
        """Take what the work says of itself."""
        self.words = words or self.words
        self.share = min(1.0, done / of) if of > 0 else None
        self._changed()

    def cancel(self) -> None:
        """Have it stop at its next row."""
        self.cancelled = True
        if self.worker is not None:
            self.worker.stop()
        self._changed()


class Slices(LongJob):
    """Long work that its owner does in slices on the main thread."""

    def __init__(self, words: str, changed: Callable[[], None], ended: Callable[[Slices], None]) -> None:
        super().__init__(words, changed)
        self._ended = ended

    def end(self) -> None:
        """It is over."""
        self._ended(self)


class LongWork(QObject):
    """Does one job after the other in a process each, and shows the one that began last on the bar.

    `idle` comes when nothing is left to do.
    """

    idle = Signal()
    _heard = Signal(object)

    def __init__(self, bar: ProgressDisplay) -> None:
        super().__init__()
        self._bar = bar
        self._waiting: deque[tuple[LongJob, Task, tuple[Any, ...], Then, Failed]] = deque()
        self._running: list[LongJob] = []
        self._heard.connect(self._take, Qt.ConnectionType.QueuedConnection)

    @property
    def words(self) -> str:
        """What is being done now; empty when nothing is."""
        jobs = self._running or [entry[0] for entry in self._waiting]
        return jobs[-1].words if jobs else ""

    def run(self, words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Do `task(*arguments, progress=…)` when what was asked for before is done."""
        self._waiting.append((LongJob(words, self._show), task, arguments, then, failed))
        self._next()

    def watch(self, words: str) -> Slices:
        """Show work that is done in slices on this thread."""
        job = Slices(words, self._show, lambda job: self._end(job, stopped=job.cancelled))
        self._running.append(job)
        self._see_later(job)
        return job

    def cancel(self) -> None:
        """Have all of it stop."""
        for job in self._running:
            job.cancel()
        waiting, self._waiting = self._waiting, deque()
        for entry in waiting:
            entry[4](Stopped())

    def close(self) -> None:
        """Wait for what runs; its answer comes to nobody."""
        self._waiting.clear()
        for job in self._running:
            if job.worker is not None:
                job.worker.wait()
        self._running.clear()

    def _next(self) -> None:
        if not self._waiting or any(job.worker is not None for job in self._running):
            return
        from shopclock.screens.long_work.worker import Worker

        job, task, arguments, then, failed = self._waiting.popleft()
        self._running.append(job)
        job.worker = Worker(task, arguments, lambda what, more: self._heard.emit((job, what, more, then, failed)))

    def _take(self, heard: tuple[LongJob, str, Any, Then, Failed]) -> None:
        job, what, more, then, failed = heard
        if job not in self._running:
            return
        if what == "began":
            self._see_later(job)
        elif what == "at":
            job.say(*more)
        else:
            try:
                (then if what == "done" else failed)(more)
            finally:
                self._end(job, stopped=isinstance(more, Stopped))

    def _end(self, job: LongJob, *, stopped: bool) -> None:
        if job not in self._running:
            return
        self._running.remove(job)
        if stopped and job.seen and not self._running:
            self._say_stopped()
        else:
            self._show()
        self._next()
        if not self.words:
            self.idle.emit()

    def _see_later(self, job: LongJob) -> None:
        QTimer.singleShot(SHORT_MS, self, partial(self._see, job))

    def _see(self, job: LongJob) -> None:
        job.seen = True
        self._show()

    def _show(self) -> None:
        job = next((job for job in reversed(self._running) if job.seen), None)
        if job is None:
            self._bar.hide_work()
        elif job.cancelled:
            self._bar.show_work(STOPPING, job.share, None)
        else:
            self._bar.show_work(job.words, job.share, job.cancel)

    def _say_stopped(self) -> None:
        self._bar.show_work(str(Stopped()), None, None)
        QTimer.singleShot(STOPPED_MS, self, self._show)
