"""Mistakes of ours: written down with their trace, told in one sentence, never shown."""

from __future__ import annotations

import logging
import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from types import TracebackType

NOWHERE = "no file: there is no place to write one"
IN_THE_WINDOW = "Something went wrong that is our mistake. What was shown is kept. It is written down in {log}."

ANSWER_LOST = (
    "Your answer was lost by a mistake of ours: look whether what you asked for is there, and answer again if not. "
    "What the record holds is kept. It is written down in {log}."
)


class AnswerLost(Exception):
    """Raised from the mistake that lost an answer: the maker is told each time, whatever was told before."""


def write_down(error: BaseException, where: str) -> str:
    """Append an error with its trace to the log and return where that is."""
    from platformdirs import user_log_path

    log = user_log_path("shopclock", appauthor=False) / "shopclock.log"
    try:
        for folder in reversed([one for one in (log.parent, *log.parent.parents) if not one.exists()]):
            folder.mkdir(0o700, exist_ok=True)
        os.close(os.open(log, os.O_CREAT | os.O_WRONLY, 0o600))
        log.chmod(0o600)  # names of people and batches stand in a trace
        handler = logging.FileHandler(log, encoding="utf-8")
    except OSError:
        return NOWHERE
    handler.setFormatter(logging.Formatter("%(asctime)s %(name)s %(message)s"))
    trace = (type(error), error, error.__traceback__)
    handler.emit(logging.LogRecord("shopclock", logging.ERROR, __file__, 0, where, (), trace))
    handler.close()
    return str(log)


class Hook:
    """Hook that the interpreter calls for an error nobody took: the window goes on.

    Each place is told once, for what goes on by itself may fail each second; a lost answer is told each time.
    """

    def __init__(self, tell: Callable[[str], object]) -> None:
        self._tell = tell
        self._told: set[tuple[str, int]] = set()

    def __call__(self, _kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        """Write it down, and tell it unless it was told before."""
        log = write_down(error, "window")
        if isinstance(error, AnswerLost):
            self._tell(ANSWER_LOST.format(log=log))
            return
        while trace is not None and trace.tb_next is not None:
            trace = trace.tb_next
        place = (type(error).__name__, trace.tb_lineno if trace is not None else 0)
        if place not in self._told:
            self._told.add(place)
            self._tell(IN_THE_WINDOW.format(log=log))
