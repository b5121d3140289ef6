"""One piece of long work in a process of its own: what it says on the way comes back over a line, as may "stop"."""

from __future__ import annotations

import os
from contextlib import suppress
from multiprocessing import get_context
from threading import Thread
from typing import TYPE_CHECKING, Any

from shopclock.shop.values.progress import Stopped

if TYPE_CHECKING:
    from collections.abc import Callable
    from multiprocessing.connection import Connection

    from shopclock.screens.long_work.runner import Task


class Reporter:
    """The work's end of the line. Each word over it takes some 20 µs: who has many rows says every hundredth or so."""

    def __init__(self, line: Connection) -> None:
        self._line = line
        self.cancelled = False

    def at(self, done: int, of: int, words: str) -> None:
        """Say how far it is; Stopped when it is to stop, or when nobody is there any more."""
        try:
            self.cancelled = self._line.poll()
            if not self.cancelled:
                self._line.send(("at", (done, of, words)))
        except OSError:
            self.cancelled = True
        if self.cancelled:
            raise Stopped


def work(line: Connection, task: Task, arguments: tuple[Any, ...]) -> None:
    """Do the work and say what came of it; a process is started with this."""
    line.send(("began", None))
    try:
        answer = ("done", task(*arguments, progress=Reporter(line)))
    except Exception as error:  # noqa: BLE001  # whatever it is, it is handed on
        answer = ("failed", error)
    with suppress(OSError):
        try:
            line.send(answer)
        except (TypeError, AttributeError, ValueError) as error:  # it can't be sent as it is
            line.send(("failed", RuntimeError(f"{answer[1]!r}: {error}")))
    line.close()
    os._exit(0)  # at once: to put away all that was made for it would take as long as some of the work


class Worker:
    """The window's end of the line. `heard` is called on a thread of its own: with "began", "at", "done", "failed"."""

    def __init__(self, task: Task, arguments: tuple[Any, ...], heard: Callable[[str, Any], None]) -> None:
        self._heard = heard
        context = get_context("spawn")
        self._line, far = context.Pipe()
        self._process = context.Process(target=work, args=(far, task, arguments), daemon=True)
        self._process.start()
        far.close()
        self._listener = Thread(target=self._listen, daemon=True)
        self._listener.start()

    def stop(self) -> None:
        """Have it stop at its next row."""
        with suppress(OSError):
            self._line.send("stop")

    def wait(self) -> None:
        """Wait until its process is gone."""
        self._listener.join()

    def _listen(self) -> None:
        what, more = "", None
        while what not in ("done", "failed"):
            try:
                what, more = self._line.recv()
            except (EOFError, OSError):
                what, more = "failed", RuntimeError("The work was ended from outside. Nothing of it is left.")
            except Exception as error:  # noqa: BLE001  # an answer that can't be read is one too
                what, more = "failed", error
            if what in ("began", "at"):
                self._heard(what, more)
        self._process.join()
        self._process.close()
        self._line.close()
        self._heard(what, more)
