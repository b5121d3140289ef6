"""Closing the window while long work is going on, or a clock runs: it says what goes on, and asks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QApplication

from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.long_work.long_work import LongWork
    from shopclock.widgets.frame import Frame

CHOICES = (
    Choice("wait", "Wait, then close", "the window closes when it is done", "primary"),
    Choice("stop", "Stop it and close", "nothing of it is left"),
    Choice("stay", "Stay here"),
)


STOP_CLOCK = (
    Choice("stop", "Stop and close", "the clock stops now", "red"),
    Choice("on", "Close, it runs on", "opened again, the clock is where it would be"),
    Choice("stay", "Stay here"),
)


class ClockRuns:
    """Asked by the window before it closes, in place of what was asked before: a clock that runs by hand."""

    def __init__(self, frame: Frame, running: Callable[[], str], stop: Callable[[], object]) -> None:
        self._frame = frame
        self._running = running
        self._stop = stop
        self._before = frame.may_close
        self._settled = self._asking = False
        frame.may_close = self.may_close

    def may_close(self) -> bool:
        """Tell whether no clock runs, or it was answered what is to become of it; otherwise ask.

        Where the system ends its session nothing is asked: the clock runs on, and is asked about at the next start.
        """
        said = self._running()
        application = QApplication.instance()
        ends = isinstance(application, QApplication) and application.isSavingSession()
        if not said or self._settled or ends:
            return self._before()
        if not self._asking:
            self._asking = True
            self._frame.dialogs.ask(f"{said} runs", STOP_CLOCK, self._take)
        return False

    def _take(self, answer: str | None) -> None:
        self._asking = False
        if answer == "stop":
            self._stop()
        self._settled = answer in ("stop", "on")
        if self._settled:
            self._frame.close()


class Leaving:
    """Asked by the window before it closes."""

    def __init__(self, frame: Frame, long_work: LongWork) -> None:
        self._frame = frame
        self._long_work = long_work
        self._asking = False
        self._leaves = False
        frame.may_close = self.may_close
        long_work.idle.connect(self._idle)

    def may_close(self) -> bool:
        """Tell whether nothing is going on; otherwise ask."""
        words = self._long_work.words
        if words and not self._asking:
            self._asking = True
            self._frame.dialogs.ask(f"{words} is still going on", CHOICES, self._take)
        return not words

    def _take(self, answer: str | None) -> None:
        self._asking = False
        self._leaves = answer in ("wait", "stop")
        if answer == "stop":
            self._long_work.cancel()
        self._idle()

    def _idle(self) -> None:
        if self._leaves and not self._long_work.words:
            self._frame.close()
