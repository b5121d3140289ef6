"""What long work is given to: plain Python, so that presenters can have it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from shopclock.shop.values.progress import Progress

Task = Callable[..., Any]
Then = Callable[[Any], None]
Failed = Callable[[BaseException], None]
Cancel = Callable[[], None]


class Watched(Progress, Protocol):
    """Work in slices on the main thread: it tells how far it is, looks whether it is cancelled, and ends."""

    def end(self) -> None:
        """It is over, whatever came of it."""


class WorkRunner(Protocol):
    """Something that does long work and hands its answer on."""

    def run(self, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments)`; `then` gets its result, `failed` what it raised."""

    def run_long(self, words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments, progress=…)` under a bar that says these words until the task says others.

        One after the other. `failed` gets Stopped where the maker cancelled it, who has been told so already.
        """

    def watch(self, words: str) -> Watched:
        """Have a bar for what the caller itself does in slices."""

    def in_slices(self, step: Callable[[], bool]) -> None:
        """Call `step` on this thread, each time when nothing else waits, until it says that there is no more."""

    def close(self) -> None:
        """Wait for what runs and end."""


class ProgressDisplay(Protocol):
    """Where it is seen how far long work is."""

    def show_work(self, words: str, share: float | None, cancel: Cancel | None) -> None:
        """Say what is being done, how much of it is done (nothing: nobody knows), and how it is stopped."""

    def hide_work(self) -> None:
        """There is nothing to say."""


class NoProgressDisplay:
    """Where nothing is to be seen."""

    def show_work(self, words: str, share: float | None, cancel: Cancel | None) -> None:
        """Say nothing."""

    def hide_work(self) -> None:
        """There was nothing."""
