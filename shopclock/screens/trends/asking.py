"""An answer that is worked out beside the window: asked once for the same question, kept until there is another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.work import Task, Work

T = TypeVar("T")


class Asking(Generic[T]):
    """Holds the newest answer; `changed` is called when one has come."""

    def __init__(self, work: Work, changed: Callable[[], None]) -> None:
        self._work = work
        self._changed = changed
        self._question: object = None
        self.answer: T | None = None
        self.failed = False

    def ask(self, question: object, task: Task, *arguments: object) -> None:
        """Have `task(*arguments)` worked out, unless the question is the one that was asked last."""
        if question == self._question:
            return
        self._question, self.failed = question, False
        self._work.run(
            task, arguments, lambda answer: self._take(question, answer), lambda _error: self._take(question, None)
        )

    def drop(self) -> None:
        """Forget question and answer; what still comes is not taken."""
        self._question, self.answer, self.failed = None, None, False

    def _take(self, question: object, answer: T | None) -> None:
        if question is self._question:
            self.answer, self.failed = answer, answer is None
            self._changed()
