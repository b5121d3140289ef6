"""An answer worked out beside the window: asked once for a question, kept until there is another."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Generic, TypeVar

from shopclock.mistakes import write_down
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.screens.long_work.runner import WorkRunner

T = TypeVar("T")
OURS = "It could not be worked out. Nothing was changed; what happened is written down."
NOT_ASKED = object()
"""None is a question too: that of a record without a press to be taken back."""


class AsyncAnswer(Generic[T]):
    """Holds the newest answer, or the sentence that says why there is none; `changed` is called when either has come.

    The answer to the last question stays until there is another. `rough`: a better one is still being worked out.
    """

    def __init__(self, work: WorkRunner, changed: Callable[[], None]) -> None:
        self._work, self._changed = work, changed
        self._question: object = NOT_ASKED
        self.answer: T | None = None
        self.why = ""
        self.rough = False

    def ask(self, question: object, *tasks: Callable[[], T]) -> None:
        """Have it worked out by each task in turn, the quick one first, unless this question was the last one."""
        if question == self._question:
            return
        self._question, self.why = question, ""
        self._run(question, tasks)

    def drop(self) -> None:
        """Forget question and answer; what still comes is not taken."""
        self._question, self.answer, self.why, self.rough = NOT_ASKED, None, "", False

    def _run(self, question: object, tasks: tuple[Callable[[], T], ...]) -> None:
        self._work.run(
            tasks[0],
            (),
            lambda found: self._take(question, found, tasks[1:]),
            lambda error: self._refuse(question, error),
        )

    def _take(self, question: object, found: Any, better: tuple[Callable[[], T], ...]) -> None:
        if question is not self._question:
            return
        self.answer, self.rough = found, bool(better)
        if better:
            self._run(question, better)
        self._changed()

    def _refuse(self, question: object, error: BaseException) -> None:
        ours = not isinstance(error, ShopError)
        if ours:
            write_down(error, "an answer")
        if question is self._question:
            self.answer, self.rough = None, False
            self.why = OURS if ours else str(error)
            self._changed()
