"""Closing the window while long work is going on: it says what is still being done, and waits for it or stops it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.views.dialogs import Choice

if TYPE_CHECKING:
    from shopclock.screens.long_work.long_work import LongWork
    from shopclock.widgets.frame import Frame

CHOICES = (
    Choice("wait", "Wait, then close", "the window closes when it is done", "primary"),
    Choice("stop", "Stop it and close", "nothing of it is left"),
    Choice("stay", "Stay here"),
)


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
