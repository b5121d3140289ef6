"""Work beside the window that is done when a test says so."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shopclock.screens.long_work.background import AtOnce

if TYPE_CHECKING:
    from collections.abc import Callable
    from contextlib import AbstractContextManager

    from shopclock.screens.long_work.runner import Failed, Task, Then
    from shopclock.shop.values.progress import Progress


class Later:
    """Keeps what it was given."""

    def __init__(self) -> None:
        self.waiting: list[Callable[[], None]] = []

    def run(self, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        self.waiting.append(lambda: AtOnce().run(task, arguments, then, failed))

    def run_long(self, words: str, task: Task, arguments: tuple[Any, ...], then: Then, failed: Failed) -> None:
        self.waiting.append(lambda: AtOnce().run_long(words, task, arguments, then, failed))

    def one_moment(self) -> AbstractContextManager[Progress]:
        return AtOnce().one_moment()

    def go_on(self) -> None:
        """Do what is waiting now, not what that asks for."""
        waiting, self.waiting = self.waiting, []
        for run in waiting:
            run()

    def close(self) -> None:
        """Nothing runs."""
