"""Which pieces a stretch covered, by their letters."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.amend.about import IntervalAbout
from shopclock.shop.state.wording import counted
from shopclock.shop.work.amend import use_pieces
from shopclock.shop.work.overlap_rules import name_of
from shopclock.views.page import Body, TextLine, action

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.shop.values.clock import Moment
    from shopclock.shop.values.entities import Piece
    from shopclock.views.page import Action


class CoveredPiecesPage(IntervalAbout):
    """A letter a tile; a press puts it in or takes it out."""

    body = Body.PIECES

    def lines(self) -> Sequence[TextLine]:
        """How many are in it."""
        return (TextLine(f"{counted(self._amending.floor, 'piece', len(self.interval.pieces))} in it."),)

    def offers(self) -> Sequence[Action]:
        """Every piece of the batch."""
        pieces = self._amending.floor.pieces(self.interval.batch_id or 0)
        return [self._letter(piece) for piece in pieces]

    def _letter(self, piece: Piece) -> Action:
        covered = piece.id in self.interval.pieces
        done = piece.id in {t.piece_id for t in self._amending.floor.hands.done_in(self.interval)}
        word = "done" if done else "in" if covered else "out"
        return action(f"piece {piece.id}", piece.mark, partial(self._turn, piece), detail=word, checked=covered)

    def _turn(self, piece: Piece, moment: Moment | None) -> None:
        interval = self.interval
        covered = piece.id in interval.pieces
        wanted = [p for p in interval.pieces if p != piece.id] if covered else [*interval.pieces, piece.id]
        what = f"{name_of(self._amending.floor, interval)}: {piece.mark} {'out' if covered else 'in'}"
        self._amending.press(what, lambda tx: use_pieces(tx, interval, wanted), moment, interval.start_us)
