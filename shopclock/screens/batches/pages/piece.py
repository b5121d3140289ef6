"""One piece: its number, and what can happen to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.screens.batches.losing import ask_loss
from shopclock.screens.batches.where import batch_title, outcome_words, stands_at
from shopclock.screens.paged.about import PieceAbout
from shopclock.screens.paged.offers import calling, offer, on_answer
from shopclock.screens.paged.page import Line
from shopclock.screens.readings.pair import ask_pair
from shopclock.screens.readings.piece_page import PieceReadingsPage
from shopclock.shop import readings
from shopclock.shop.kinds import Outcome
from shopclock.shop.pairs import pair_said
from shopclock.shop.pieces import cut_down, end_piece, lose, make_second, set_aside, set_number, take_up
from shopclock.shop.route import Outline
from shopclock.shop.values import Batch, Pattern, Piece, Step
from shopclock.widgets.dialogs import MEASURED, Choice

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shopclock.screens.paged.page import Offer
    from shopclock.shop.clock import Moment
    from shopclock.shop.turn import Turn


class PiecePage(PieceAbout):
    """A piece by its mark."""

    @property
    def batch(self) -> Batch:
        """The batch it belongs to."""
        return self._stack.floor.get(Batch, self.piece.batch_id)

    def title(self) -> str:
        """Its mark and its batch."""
        return f"{self.piece.mark} of {batch_title(self._stack.floor, self.batch)}"

    def lines(self) -> Sequence[Line]:
        """Where it stands, or how it ended; what was measured outside its limits."""
        floor = self._stack.floor
        wrong = "; ".join(readings.said(floor, reading) for reading in readings.outside_of(floor, self.piece))
        return (Line(self._standing(), "text"), *((Line(f"{wrong}.", "red"),) if wrong else ()))

    def offers(self) -> Sequence[Offer]:
        """Its number, pair and readings; while it lives, what can happen to it."""
        number = offer(
            "number", "Number", calling(self._ask_number), detail=self.piece.number or "none yet", role="plate"
        )
        known = [number, *self._pair(), self._readings()]
        return [*known, *self._fates()] if self.piece.living else known

    def _pair(self) -> list[Offer]:
        """The pair of scales, of what is drawn as a blade: other trades have none."""
        if self._stack.floor.get(Pattern, self.batch.pattern_id).outline != Outline.BLADE:
            return []
        said = pair_said(self._stack.floor, self.piece) or "none yet"
        return [offer("pair", "Pair of scales", calling(lambda: ask_pair(self._stack, self.piece)), detail=said)]

    def _readings(self) -> Offer:
        floor = self._stack.floor
        found = readings.of_piece(floor, self.piece)
        return offer(
            "readings",
            "Readings",
            calling(lambda: self._stack.open(PieceReadingsPage(self._stack, self._piece_id))),
            detail=readings.said(floor, found[0]) if found else "none yet",
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

    def _fates(self) -> list[Offer]:
        piece = self.piece
        aside = (
            offer(
                "back", "Bring back", self._one("Brought back", lambda turn: take_up(turn, self.piece)), role="primary"
            )
            if piece.set_aside
            else offer(
                "aside",
                "Set aside",
                self._one("Set aside", lambda turn: set_aside(turn, self.piece)),
                detail="work goes on without it",
            )
        )
        second = offer(
            "second",
            "Second",
            self._one("Second", lambda turn: make_second(turn, self.piece)),
            detail="it is one" if piece.second else "goes on, not first grade",
            enabled=not piece.second,
        )
        lost = offer("lost", "Lost", calling(self._ask_loss), detail="at which step, and why", role="red")
        kept = offer("kept", "Kept", self._one("Kept", self._keep), detail="a template, a test piece")
        return [aside, second, lost, kept, *self._cut()]

    def _cut(self) -> list[Offer]:
        others = [batch for batch in self._stack.floor.open_batches() if batch.id != self.batch.id]
        if not others:
            return []
        return [offer("cut", "Cut down", calling(self._ask_cut), detail="goes on in another batch")]

    def _one(self, what: str, rule: Callable[[Turn], object]) -> Callable[[Moment | None], None]:
        def act(moment: Moment | None) -> None:
            self._stack.do(f"{what}: {self.piece.mark}", rule, moment)

        return act

    def _keep(self, turn: Turn) -> Piece:
        return end_piece(turn, self.piece, Outcome.KEPT)

    def _ask_number(self) -> None:
        self._stack.dialogs.number(
            f"Number of {self.piece.mark}", self.piece.number, on_answer(self._take_number), signs=MEASURED
        )

    def _take_number(self, number: str) -> None:
        self._stack.do(f"Number: {self.piece.mark}", lambda turn: set_number(turn, self.piece, number))

    def _ask_loss(self) -> None:
        ask_loss(self._stack, self.piece, self._take_loss)

    def _take_loss(self, step: Step | None, reason: str) -> None:
        self._stack.do(f"Lost: {self.piece.mark}", lambda turn: lose(turn, self.piece, step, reason))

    def _ask_cut(self) -> None:
        floor = self._stack.floor
        others = [batch for batch in floor.open_batches() if batch.id != self.batch.id]
        choices = [Choice(str(batch.id), batch_title(floor, batch)) for batch in others]
        self._stack.dialogs.ask(f"Into which batch goes {self.piece.mark}", choices, on_answer(self._take_cut))

    def _take_cut(self, batch_id: str) -> None:
        into = self._stack.floor.get(Batch, int(batch_id))
        step = stands_at(self._stack.floor, self.piece)
        self._stack.do(f"Cut down: {self.piece.mark}", lambda turn: cut_down(turn, self.piece, into, step))
