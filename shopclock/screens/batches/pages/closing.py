"""Closing a batch: how each piece ends, and one line for the next time."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.pages.piece import ask_loss
from shopclock.screens.batches.where import batch_title, outcome_words
from shopclock.shop.figures.untimed import say, untimed
from shopclock.shop.review.sentences import untimed_text
from shopclock.shop.values.entities import Batch
from shopclock.shop.values.kinds import Outcome, StepState
from shopclock.shop.values.marks import spoken
from shopclock.shop.work.batches import Ending, close_with, not_through
from shopclock.views.dialogs import Choice
from shopclock.views.field import Text, choose, field, options
from shopclock.views.page import Body, Page, PageContent, TextLine, action

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Piece
    from shopclock.views.field import Asking
    from shopclock.views.page import Action

LINE = "One line for the next time"
HOW = "Under each letter stands how it ends; a press changes that."
ANYTHING = ((Choice("write", "Write one line", role="primary"), True), (Choice("close", "Nothing to add"), False))
UNTIMED: tuple[tuple[Choice, StepState | None], ...] = (
    (Choice("untimed", "Not timed", "done; the figures then say at least"), StepState.NOT_TIMED),
    (Choice("skipped", "Skipped", "not done"), StepState.SKIPPED),
    (Choice("later", "Later", "Review goes on asking"), None),
)
"""What steps without minutes were."""
ENDS = (Outcome.FINISHED, Outcome.SECOND, Outcome.KEPT, Outcome.SCRAPPED)


class ClosePage(Page):
    """The living pieces with how each will end; finished unless told otherwise."""

    def __init__(self, stack: PagedPresenter, batch_id: int) -> None:
        self._stack = stack
        self._batch_id = batch_id
        self._endings: dict[int, Ending] = {}
        self._next_time = ""

    def content(self) -> PageContent | None:
        """Pieces that are not through, which stops nobody; what runs; one line for the next time, and the close."""
        batch = self._stack.floor.find(Batch, self._batch_id)
        if batch is None or batch.closed_us is not None:
            return None
        said = [TextLine(text, "straw") for text in (self._left(batch), self._running()) if text]
        said.append(TextLine(HOW))
        if self._next_time:
            said.append(TextLine(f"Next time: {self._next_time}", "text"))
        line = Text(LINE, self._next_time)
        return PageContent(
            f"Close {batch_title(self._stack.floor, batch)}",
            said,
            [self._piece(piece) for piece in self._stack.floor.living(batch.id)],
            [
                field("next time", "Next time", "one line for the next one", line, self._take_line, role="raised"),
                action("close", f"Close {batch.name}", lambda moment: self._close(batch, moment), role="primary"),
            ],
            Body.PIECES,
        )

    def _left(self, batch: Batch) -> str:
        left = not_through(self._stack.floor, batch)
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

    def _piece(self, piece: Piece) -> Action:
        words = outcome_words(self._stack.floor)
        plain = Ending(Outcome.SECOND if piece.second else Outcome.FINISHED)
        ending = self._endings.get(piece.id, plain)
        said = words[ending.outcome]
        ends = {end: (words[end].capitalize(), "") for end in ENDS}
        return field(
            f"piece {piece.id}",
            piece.mark,
            f"{said}, {ending.reason}" if ending.reason else said,
            options(f"How did {piece.mark} end", ends, ending.outcome),
            lambda outcome: self._end(piece, outcome),
            role="plate" if ending.outcome.finished else "raised",
        )

    def _end(self, piece: Piece, outcome: Outcome) -> Asking[None]:
        step, reason = None, ""
        if outcome is Outcome.SCRAPPED:
            step, reason = yield from ask_loss(self._stack.floor, piece)
        self._endings[piece.id] = Ending(outcome, step, reason)
        self._stack.changed()

    def _take_line(self, line: str) -> None:
        self._next_time = line
        self._stack.changed()

    def _close(self, batch: Batch, moment: Moment | None) -> Asking[None]:
        """Close; ask once what steps without minutes were, and for a line where none was written."""
        found = untimed(self._stack.floor, batch.id, self._stack.record.instant(), closing=True)
        state = None
        if found:
            state = yield from choose(f"{untimed_text(found)}: not timed, or skipped", UNTIMED)
        if found or not self._next_time:
            moment = None
        if not self._next_time and (yield from choose("Anything to do otherwise next time", ANYTHING)):
            self._next_time = yield from Text(LINE)
        line, living = self._next_time, {piece.id for piece in self._stack.floor.living(batch.id)}
        endings = {number: ending for number, ending in self._endings.items() if number in living}

        def close(tx: Transaction) -> Batch:
            closed = close_with(tx, batch, endings, line)
            return say(tx, closed, state) if state is not None else closed

        self._stack.do(f"Closed {batch.name}", close, moment)
