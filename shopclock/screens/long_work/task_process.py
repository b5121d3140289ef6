"""The process of a worker: it does one piece of work after the other and says over a line what came of each.

Nothing of the window is imported here: what it takes in is what the work needs.
"""

from __future__ import annotations

import os
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING, Any

from shopclock.shop.values.habits import take_habits
from shopclock.shop.values.progress import Stopped

if TYPE_CHECKING:
    from collections.abc import Callable
    from multiprocessing.connection import Connection

    from shopclock.shop.values.habits import Habits

    Asked = tuple[int, Callable[..., Any], tuple[Any, ...], bool]
    """A piece of work: its number, what is called with what, whether it is watched."""


class Reporter:
    """The work's end of the line. Each word over it takes some 20 µs: who has many rows says every hundredth or so."""

    def __init__(self, line: Connection, number: int) -> None:
        self._line = line
        self._number = number
        self.cancelled = False
        self.is_last = False

    def at(self, done: int, of: int, words: str) -> None:
        """Say how far it is; Stopped when it is to stop, or when nobody is there any more."""
        try:
            while not self.cancelled and self._line.poll():
                heard = self._line.recv()
                self.is_last = self.is_last or heard is None
                self.cancelled = heard == ("stop", self._number)
            if not self.cancelled:
                self._line.send(("at", (done, of, words)))
        except (EOFError, OSError):
            self.cancelled = True
        if self.cancelled:
            raise Stopped


def serve(line: Connection, here: Habits) -> None:
    """Do what comes over the line until nothing more does; a process is started with this."""
    take_habits(here)
    Thread(target=_end_with_window, daemon=True).start()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # more would take memory, and the window's core
    with suppress(EOFError, OSError):
        while (asked := _next(line)) is not None and _goes_on_after(line, *asked):
            pass
    os._exit(0)  # at once: to put away all that was made would take as long as some of the work


def _end_with_window() -> None:
    """End this process once the window's is gone, in the midst of its work too: nobody waits for it any more."""
    from multiprocessing import parent_process  # here it is there already; the window's start does without
    from multiprocessing.connection import wait

    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def _next(line: Connection) -> Asked | None:
    """Return the next piece of work; nothing when it is time to go."""
    while True:
        try:
            asked: Asked | tuple[str, int] | None = line.recv()
        except (EOFError, OSError):
            raise
        except Exception as error:  # noqa: BLE001  # work that can't be read
            line.send(("failed", error))
            continue
        if asked is None or len(asked) > 2:  # a "stop" comes late where what it is about was done just before
            return asked


def _goes_on_after(
    line: Connection, number: int, task: Callable[..., Any], arguments: tuple[Any, ...], watched: bool
) -> bool:
    """Do a piece of work and say what came of it; tell whether there may be more."""
    reporter = Reporter(line, number)
    line.send(("began", None))
    try:
        answer = ("done", task(*arguments, **({"progress": reporter} if watched else {})))
    except Exception as error:  # noqa: BLE001  # whatever it is, it is handed on
        from shopclock.record.check.blame import blamed  # hardly ever needed

        answer = ("failed", blamed(error, arguments))
    try:
        line.send(answer)
    except (TypeError, AttributeError, ValueError) as error:  # it can't be sent as it is
        line.send(("failed", RuntimeError(f"{answer[1]!r}: {error}")))
    return not reporter.is_last
