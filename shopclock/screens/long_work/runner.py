"""Runner of long work: plain Python, so that presenters can have it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from shopclock.shop.values.progress import Progress

Task = Callable[..., Any]
Then = Callable[[Any], None]
Failed = Callable[[BaseException], None]
Cancel = Callable[[], None]


class WorkRunner(Protocol):
    """Something that does long work and hands its answer on."""

    def run(self, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments)`; `then` gets its result, `failed` what it raised."""

    def run_long(self, words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        """Start `task(*arguments, progress=…)` under a bar that says these words until the task says others.

        One after the other. `failed` gets Stopped where the maker cancelled it, who has been told so already.
        """

    def one_moment(self) -> AbstractContextManager[Progress]:
        """Have the bar say that the window waits, for what is done on this thread meanwhile and can't be stopped."""

    def close(self) -> None:
        """Wait for what runs and end."""


class ProgressDisplay(Protocol):
    """Display of how far long work is."""

    def show_work(self, words: str, share: float | None, cancel: Cancel | None) -> None:
        """Say what is being done, how much of it is done (nothing: nobody knows), and how it is stopped."""

    def hide_work(self) -> None:
        """There is nothing to say."""

    def paint_now(self) -> None:
        """Have it seen at once: nothing is painted for a while."""


class NoProgressDisplay:
    """Display of nothing."""

    def show_work(self, words: str, share: float | None, cancel: Cancel | None) -> None:
        """Say nothing."""

    def hide_work(self) -> None:
        """There was nothing."""

    def paint_now(self) -> None:
        """There is nothing."""
