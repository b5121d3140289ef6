"""Long work under one bar: what is being done, how far it is, and the press that stops it."""

from __future__ import annotations

from collections import deque
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, QTimer, Signal

from shopclock.shop.values.progress import Stopped, Unwatched

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from shopclock.screens.long_work.runner import Failed, ProgressDisplay, Task, Then
    from shopclock.screens.long_work.worker import Job, Workers
    from shopclock.shop.values.progress import Progress

SHORT_MS = 400
"""What is over sooner is never seen."""
STOPPED_MS = 4000
STOPPING = "Stopping"
ONE_MOMENT = "One moment"


class LongJob:
    """One piece of long work: what is said of it, and whether it is to stop."""

    def __init__(self, words: str, changed: Callable[[], None]) -> None:
        self.words = words
        self.share: float | None = None
        self.cancelled = False
        self.seen = False
        self.work: Job | None = None
        self._changed = changed

    def say(self, done: int, of: int, words: str) -> None:
        """Take what the work says of itself."""
        self.words = words or self.words
        self.share = min(1.0, done / of) if of > 0 else None
        self._changed()

    def cancel(self) -> None:
        """Have it stop at its next row."""
        self.cancelled = True
        if self.work is not None:
            self.work.stop()
        self._changed()


class OneMoment(Unwatched):
    """Work on the main thread while the window waits: the bar is all that is painted."""

    def __init__(self, bar: ProgressDisplay) -> None:
        self._bar = bar

    def at(self, done: int, of: int, words: str) -> None:
        """Say how far it is."""
        self._bar.show_work(words or ONE_MOMENT, min(1.0, done / of) if of > 0 else None, None)
        self._bar.paint_now()


class LongWork(QObject):
    """Has a worker do one job after the other, and shows it on the bar.

    `idle` comes when nothing is left to do.
    """

    idle = Signal()

    def __init__(self, bar: ProgressDisplay, workers: Workers) -> None:
        super().__init__()
        self._bar = bar
        self._workers = workers
        self._waiting: deque[tuple[LongJob, Task, tuple[Any, ...], Then, Failed]] = deque()
        self._running: LongJob | None = None
        self._closed = False

    @property
    def words(self) -> str:
        """Words for what is being done now; empty when nothing is."""
        job = self._running or (self._waiting[-1][0] if self._waiting else None)
        return job.words if job is not None else ""

    def run(self, words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Do `task(*arguments, progress=…)` when what was asked for before is done."""
        self._waiting.append((LongJob(words, self._show), task, arguments, then, failed))
        self._next()

    @contextmanager
    def one_moment(self) -> Iterator[Progress]:
        """Have the bar say that the window waits for what is done meanwhile; then it is as it was."""
        moment = OneMoment(self._bar)
        moment.at(0, 0, ONE_MOMENT)
        try:
            yield moment
        finally:
            self._show()

    def cancel(self) -> None:
        """Have all of it stop."""
        if self._running is not None:
            self._running.cancel()
        waiting, self._waiting = self._waiting, deque()
        for entry in waiting:
            entry[4](Stopped())

    def close(self) -> None:
        """Have nothing more done; the answer to what runs comes to nobody, and nothing is shown."""
        self._closed = True
        self._waiting.clear()
        self._running = None

    def _next(self) -> None:
        if not self._waiting or self._running is not None:
            return
        job, task, arguments, then, failed = self._waiting.popleft()
        self._running = job
        job.work = self._workers.start(task, arguments, partial(self._take, job, then, failed), watched=True)

    def _take(self, job: LongJob, then: Then, failed: Failed, what: str, more: Any) -> None:
        if job is not self._running:
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
        if job is not self._running:
            return
        self._running = None
        if stopped and job.seen:
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
        if self._closed:
            return  # the window may be gone by now, and its bar with it
        job = self._running
        if job is None or not job.seen:
            self._bar.hide_work()
        elif job.cancelled:
            self._bar.show_work(STOPPING, job.share, None)
        else:
            self._bar.show_work(job.words, job.share, job.cancel)

    def _say_stopped(self) -> None:
        self._bar.show_work(str(Stopped()), None, None)
        QTimer.singleShot(STOPPED_MS, self, self._show)
