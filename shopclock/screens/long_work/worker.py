"""Processes beside the window that do one piece of work after the other.

What a piece of work says on the way comes back over a line, as may "stop". A worker that had nothing to do for a while
is ended: it holds as much memory as the window.
"""

from __future__ import annotations

import sys
from contextlib import suppress
from itertools import count
from threading import Thread
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from shopclock.screens.long_work.priority import stand_back
from shopclock.screens.long_work.task_process import serve
from shopclock.shop.values.habits import habits

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.long_work.runner import Task

    Heard = Callable[[str, Any], None]

ENDED = "The work was ended from outside. Nothing of it is left."
IDLE_MS = 180_000
"""Three minutes: who asks again meanwhile needn't wait for what a process takes to be there."""


def be_ready() -> None:
    """Start what each worker needs once: where the system has one, a process of Python's own that clears up."""
    if sys.platform != "win32":
        from multiprocessing import resource_tracker

        resource_tracker.ensure_running()
        number = getattr(resource_tracker._resource_tracker, "_pid", None)  # noqa: SLF001  # told nowhere else
        if number is not None:
            stand_back(number)


class Worker:
    """The window's end of the line. `heard` is called on a thread of its own: with "at", "done", "failed", "gone"."""

    def __init__(self, heard: Callable[[Worker, str, Any], None]) -> None:
        from multiprocessing import get_context

        context = get_context("spawn")
        self.line, far = context.Pipe()
        self._process = context.Process(target=serve, args=(far, habits()), daemon=True)
        self._process.start()
        if (number := self._process.pid) is not None:
            stand_back(number)
        far.close()
        self._listener = Thread(target=self._listen, args=(heard,), daemon=True)
        self._listener.start()

    def do(self, number: int, task: Task, arguments: tuple[Any, ...], *, watched: bool) -> None:
        """Have it do `task(*arguments)`, watched with `progress=…`; raises why one can't be sent."""
        with suppress(BrokenPipeError):  # it is gone: the listener says so
            self.line.send((number, task, arguments, watched))

    def stop(self, number: int) -> None:
        """Have it stop what it does under this number at its next row."""
        with suppress(OSError):
            self.line.send(("stop", number))

    def end(self) -> None:
        """Have it go, after what it does now."""
        with suppress(OSError):
            self.line.send(None)

    def drop(self) -> None:
        """End its process in the midst of what it does."""
        with suppress(ValueError):  # it has ended already
            self._process.terminate()

    def wait(self) -> None:
        """Wait until its process is gone."""
        self._listener.join()

    def _listen(self, heard: Callable[[Worker, str, Any], None]) -> None:
        while True:
            try:
                what, more = self.line.recv()
            except (EOFError, OSError):
                break
            except Exception as error:  # noqa: BLE001  # an answer that can't be read is one too
                what, more = "failed", error
            heard(self, what, more)
        self._process.join()
        self._process.close()
        self.line.close()
        heard(self, "gone", None)


class Job:
    """A piece of work that a worker does. `heard` is called on the window's thread: "began", "at", "done", "failed"."""

    def __init__(self, number: int, heard: Heard, worker: Worker, *, watched: bool) -> None:
        self.number = number
        self.watched = watched
        self.heard = heard
        self._worker = worker

    def stop(self) -> None:
        """Have it stop at its next row."""
        self._worker.stop(self.number)


class Workers(QObject):
    """The pool of workers: as many as there is work at once, each started when it is first needed."""

    _said = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self._idle: list[Worker] = []
        self._jobs: dict[Worker, Job] = {}
        self._numbers = count()
        self._said.connect(self._hear, Qt.ConnectionType.QueuedConnection)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setTimerType(Qt.TimerType.VeryCoarseTimer)
        self._timer.timeout.connect(self.rest)

    def start(self, task: Task, arguments: tuple[Any, ...], heard: Heard, *, watched: bool) -> Job:
        """Have a worker do `task(*arguments)`, watched with `progress=…`."""
        self._timer.stop()
        worker = self._idle.pop() if self._idle else Worker(lambda *said: self._said.emit(said))
        job = self._jobs[worker] = Job(next(self._numbers), heard, worker, watched=watched)
        try:
            worker.do(job.number, task, arguments, watched=watched)
        except Exception as error:  # noqa: BLE001  # whatever it is, it is handed on
            self._said.emit((worker, "failed", error))
        return job

    def rest(self) -> None:
        """End the workers that have nothing to do."""
        while self._idle:
            self._idle.pop().end()

    def close(self) -> None:
        """End all of them: what is watched is done to its end, an answer that nobody waits for any more is dropped."""
        self._timer.stop()
        every = [*self._idle, *self._jobs]
        for worker in every:
            job = self._jobs.get(worker)
            if job is not None and not job.watched:
                worker.drop()
            else:
                worker.end()
        self._idle, self._jobs = [], {}
        for worker in every:
            worker.wait()

    def _hear(self, said: tuple[Worker, str, Any]) -> None:
        worker, what, more = said
        if what == "gone":
            self._take_leave(worker)
            return
        job = self._jobs.get(worker)
        if job is None:
            return
        if what in ("done", "failed"):
            del self._jobs[worker]
            self._idle.append(worker)
            self._timer.start(IDLE_MS)
        job.heard(what, more)

    def _take_leave(self, worker: Worker) -> None:
        """Note that a process is gone: told where it was, or ended from outside."""
        if worker in self._idle:
            self._idle.remove(worker)
        job = self._jobs.pop(worker, None)
        if job is not None:
            job.heard("failed", RuntimeError(ENDED))
