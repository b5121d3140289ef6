"""One piece: its number, and what can happen to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.losing import ask_loss
from shopclock.screens.batches.where import batch_title, outcome_words, stands_at
from shopclock.screens.paged.about import PieceAbout
from shopclock.screens.paged.described import PageAbout
from shopclock.screens.readings.pair import ask_pair
from shopclock.screens.readings.piece_page import piece_readings_page
from shopclock.shop.routes.starter_route import Outline
from shopclock.shop.values.entities import Batch, Pattern, Piece, Step
from shopclock.shop.values.kinds import Outcome
from shopclock.shop.work import readings
from shopclock.shop.work.pairs import pair_said
from shopclock.shop.work.pieces import cut_down, end_piece, lose, make_second, set_aside, set_number, take_up
from shopclock.views.dialogs import MEASURED, Choice
from shopclock.views.page import TextLine, action, calling, on_answer

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.shop.state.transaction import Transaction
    from shopclock.shop.values.clock import Moment
    from shopclock.views.page import Action


class PiecePage(PieceAbout):
    """A piece by its mark."""

    @property
    def batch(self) -> Batch:
        """The batch it belongs to."""
        return self._stack.floor.get(Batch, self.piece.batch_id)

    def title(self) -> str:
        """Its mark and its batch."""
        return f"{self.piece.mark} of {batch_title(self._stack.floor, self.batch)}"

    def lines(self) -> Sequence[TextLine]:
        """Where it stands, or how it ended; what was measured outside its limits."""
        floor = self._stack.floor
        wrong = "; ".join(readings.reading_text(floor, reading) for reading in readings.outside_of(floor, self.piece))
        return (TextLine(self._standing(), "text"), *((TextLine(f"{wrong}.", "red"),) if wrong else ()))

    def offers(self) -> Sequence[Action]:
        """Its number, pair and readings; while it lives, what can happen to it."""
        number = action(
            "number", "Number", calling(self._ask_number), detail=self.piece.number or "none yet", role="plate"
        )
        known = [number, *self._pair(), self._readings()]
        return [*known, *self._fates()] if self.piece.living else known

    def _pair(self) -> list[Action]:
        """The pair of scales, of what is drawn as a blade: other trades have none."""
        if self._stack.floor.get(Pattern, self.batch.pattern_id).outline != Outline.BLADE:
            return []
        said = pair_said(self._stack.floor, self.piece) or "none yet"
        return [action("pair", "Pair of scales", calling(lambda: ask_pair(self._stack, self.piece)), detail=said)]

    def _readings(self) -> Action:
        floor = self._stack.floor
        found = readings.of_piece(floor, self.piece)
        return action(
            "readings",
            "Readings",
            calling(lambda: PageAbout(self._stack, self.piece, piece_readings_page)),
            detail=readings.reading_text(floor, found[0]) if found else "none yet",
        )

    def _standing(self) -> str:
        piece, floor = self.piece, self._stack.floor
        if piece.outcome is not None:
            at = floor.find(Step, piece.lost_step_id) if piece.lost_step_id else None
            parts = [outcome_words(floor)[piece.outcome], f"at {at.name}" if at else "", piece.reason]
            told = ", ".join(part for part in parts if part)
            return f"{told[0].upper()}{told[1:]}."
        step = stands_at(floor, piece)
        place = f"Next is {step.name}" if step is not None else "Through all steps"
        return f"{place}, set aside." if piece.set_aside else f"{place}."

    def _fates(self) -> list[Action]:
        piece = self.piece
        aside = (
            action("back", "Bring back", self._one("Brought back", lambda tx: take_up(tx, self.piece)), role="primary")
            if piece.set_aside
            else action(
                "aside",
                "Set aside",
                self._one("Set aside", lambda tx: set_aside(tx, self.piece)),
                detail="work goes on without it",
            )
        )
        second = action(
            "second",
            "Second",
            self._one("Second", lambda tx: make_second(tx, self.piece)),
            detail="it is one" if piece.second else "goes on, not first grade",
            enabled=not piece.second,
        )
        lost = action("lost", "Lost", calling(self._ask_loss), detail="at which step, and why", role="red")
        kept = action("kept", "Kept", self._one("Kept", self._keep), detail="a template, a test piece")
        return [aside, second, lost, kept, *self._cut()]

    def _cut(self) -> list[Action]:
        others = [batch for batch in self._stack.floor.open_batches() if batch.id != self.batch.id]
        if not others:
            return []
        return [action("cut", "Cut down", calling(self._ask_cut), detail="goes on in another batch")]

    def _one(self, what: str, rule: Callable[[Transaction], object]) -> Callable[[Moment | None], None]:
        def act(moment: Moment | None) -> None:
            self._stack.do(f"{what}: {self.piece.mark}", rule, moment)

        return act

    def _keep(self, tx: Transaction) -> Piece:
        return end_piece(tx, self.piece, Outcome.KEPT)

    def _ask_number(self) -> None:
        self._stack.dialogs.number(
            f"Number of {self.piece.mark}", self.piece.number, on_answer(self._take_number), signs=MEASURED
        )

    def _take_number(self, number: str) -> None:
        self._stack.do(f"Number: {self.piece.mark}", lambda tx: set_number(tx, self.piece, number))

    def _ask_loss(self) -> None:
        ask_loss(self._stack, self.piece, self._take_loss)

    def _take_loss(self, step: Step | None, reason: str) -> None:
        self._stack.do(f"Lost: {self.piece.mark}", lambda tx: lose(tx, self.piece, step, reason))

    def _ask_cut(self) -> None:
        floor = self._stack.floor
        others = [batch for batch in floor.open_batches() if batch.id != self.batch.id]
        choices = [Choice(str(batch.id), batch_title(floor, batch)) for batch in others]
        self._stack.dialogs.ask(f"Into which batch goes {self.piece.mark}", choices, on_answer(self._take_cut))

    def _take_cut(self, batch_id: str) -> None:
        into = self._stack.floor.get(Batch, int(batch_id))
        step = stands_at(self._stack.floor, self.piece)
        self._stack.do(f"Cut down: {self.piece.mark}", lambda tx: cut_down(tx, self.piece, into, step))
