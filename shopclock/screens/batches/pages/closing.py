"""Closing a batch: how each piece ends, and one line for the next time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.losing import ask_loss
from shopclock.screens.batches.where import batch_title, outcome_words
from shopclock.shop.values.entities import Batch
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.batches import Ending, close_with, not_through
from shopclock.views.dialogs import Choice
from shopclock.views.page import Body, Page, TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Piece
    from shopclock.views.page import Action

ENDS = (Outcome.FINISHED, Outcome.SECOND, Outcome.KEPT, Outcome.SCRAPPED)


class ClosePage(Page):
    """The living pieces with how each will end; finished unless told otherwise."""

    body = Body.PIECES

    def __init__(self, stack: PagedPresenter, batch_id: int) -> None:
        self._stack = stack
        self._batch_id = batch_id
        self._endings: dict[int, Ending] = {}
        self._next_time = ""

    @property
    def batch(self) -> Batch:
        """The batch as it is now."""
        return self._stack.floor.get(Batch, self._batch_id)

    def gone(self) -> bool:
        """Whether there is nothing to close."""
        batch = self._stack.floor.find(Batch, self._batch_id)
        return batch is None or batch.closed_us is not None

    def title(self) -> str:
        """What is closed."""
        return f"Close {batch_title(self._stack.floor, self.batch)}"

    def lines(self) -> Sequence[TextLine]:
        """Who is not through, which stops nobody; what runs."""
        said = [TextLine(text, "straw") for text in (self._left(), self._running()) if text]
        if self._next_time:
            said.append(TextLine(f"Next time: {self._next_time}", "text"))
        return said

    def offers(self) -> Sequence[Action]:
        """The living pieces."""
        return [self._piece(piece) for piece in self._stack.floor.living(self._batch_id)]

    def actions(self) -> Sequence[Action]:
        """One line for the next time, and the close."""
        return [
            action(
                "next time", "Next time", calling(self._ask_line), detail="one line for the next one", role="raised"
            ),
            action("close", f"Close {self.batch.name}", self._close, role="primary"),
        ]

    def _left(self) -> str:
        left = not_through(self._stack.floor, self.batch)
        if not left:
            return ""
        marks = spoken([piece.mark for piece in sorted(left, key=lambda piece: piece.position)])
        steps = list(dict.fromkeys(step.name for steps in left.values() for step in steps))
        named = " and ".join(steps) if len(steps) < 3 else f"{steps[0]} and {len(steps) - 1} steps more"
        verb = "is" if len(left) == 1 else "are"
        return f"{marks} {verb} not through {named}; it can be closed all the same."

    def _running(self) -> str:
        runs = [i for i in self._stack.floor.running.values() if i.batch_id == self._batch_id]
        return "What runs in it ends with the close." if runs else ""

    def _ending(self, piece: Piece) -> Ending:
        plain = Ending(Outcome.SECOND if piece.second else Outcome.FINISHED)
        return self._endings.get(piece.id, plain)

    def _piece(self, piece: Piece) -> Action:
        ending = self._ending(piece)
        said = outcome_words(self._stack.floor)[ending.outcome]
        return action(
            f"piece {piece.id}",
            piece.mark,
            calling(lambda: self._ask_end(piece)),
            detail=f"{said}, {ending.reason}" if ending.reason else said,
            role="plate" if ending.outcome.finished else "raised",
        )

    def _ask_end(self, piece: Piece) -> None:
        words, now = outcome_words(self._stack.floor), self._ending(piece).outcome
        choices = [Choice(end, words[end].capitalize(), checked=end is now) for end in ENDS]
        self._stack.dialogs.ask(f"How did {piece.mark} end", choices, on_answer(lambda end: self._take_end(piece, end)))

    def _take_end(self, piece: Piece, end: str) -> None:
        outcome = Outcome(end)
        if outcome is Outcome.SCRAPPED:
            ask_loss(self._stack, piece, lambda step, reason: self._set(piece, Ending(outcome, step, reason)))
        else:
            self._set(piece, Ending(outcome))

    def _set(self, piece: Piece, ending: Ending) -> None:
        self._endings[piece.id] = ending
        self._stack.changed()

    def _ask_line(self) -> None:
        question = "One line for the next time"
        self._stack.dialogs.text(question, self._next_time, on_answer(self._take_line))

    def _take_line(self, line: str) -> None:
        self._next_time = line
        self._stack.changed()

    def _close(self, moment: Moment | None) -> None:
        """Close; where no line was written, ask once."""
        if self._next_time:
            self._press_close(moment)
            return
        choices = (Choice("write", "Write one line", role="primary"), Choice("close", "Nothing to add"))
        self._stack.dialogs.ask("Anything to do otherwise next time", choices, on_answer(self._after_asking))

    def _after_asking(self, answer: str) -> None:
        if answer == "close":
            self._press_close(None)
        else:
            self._stack.dialogs.text("One line for the next time", "", on_answer(self._line_and_close))

    def _line_and_close(self, line: str) -> None:
        self._next_time = line
        self._press_close(None)

    def _press_close(self, moment: Moment | None) -> None:
        batch, line = self.batch, self._next_time
        living = {piece.id for piece in self._stack.floor.living(batch.id)}
        endings = {number: ending for number, ending in self._endings.items() if number in living}
        self._stack.do(f"Closed {batch.name}", lambda tx: close_with(tx, batch, endings, line), moment)
