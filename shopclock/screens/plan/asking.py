"""An answer worked out beside the window: asked once for a question, kept until there is another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic, TypeVar

from shopclock.mistakes import write_down
from shopclock.shop.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.work import Task, Work

T = TypeVar("T")
OURS = "It could not be worked out. Nothing was changed; what happened is written down."


class Asked(Generic[T]):
    """Holds the newest answer, or the sentence that says why there is none."""

    def __init__(self, work: Work, changed: Callable[[], None]) -> None:
        self._work, self._changed = work, changed
        self._question: object = None
        self.answer: T | None = None
        self.why = ""

    def ask(self, question: object, task: Task, *arguments: object) -> None:
        """Have it worked out, unless this question was the last one."""
        if question == self._question:
            return
        self._question, self.answer, self.why = question, None, ""
        self._work.run(
            task, arguments, lambda found: self._take(question, found), lambda error: self._refuse(question, error)
        )

    def _take(self, question: object, found: T) -> None:
        if question == self._question:
            self.answer = found
            self._changed()

    def _refuse(self, question: object, error: BaseException) -> None:
        ours = not isinstance(error, ShopError)
        if ours:
            write_down(error, "plan")
        if question == self._question:
            self.why = OURS if ours else str(error)
            self._changed()
