"""Which pieces a stretch covered, by their letters."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.screens.amend.about import StretchAbout
from shopclock.screens.paged.offers import offer
from shopclock.screens.paged.page import Body, Line
from shopclock.shop.amend import use_pieces
from shopclock.shop.clash import name_of
from shopclock.shop.wording import counted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.screens.paged.page import Offer
    from shopclock.shop.clock import Moment
    from shopclock.shop.values import Piece


class PiecesPage(StretchAbout):
    """A letter a tile; a press puts it in or takes it out."""

    body = Body.PIECES

    def lines(self) -> Sequence[Line]:
        """How many are in it."""
        return (Line(f"{counted(self._amending.floor, 'piece', len(self.stretch.pieces))} in it."),)

    def offers(self) -> Sequence[Offer]:
        """Every piece of the batch."""
        pieces = self._amending.floor.pieces(self.stretch.batch_id or 0)
        return [self._letter(piece) for piece in pieces]

    def _letter(self, piece: Piece) -> Offer:
        covered = piece.id in self.stretch.pieces
        done = piece.id in {t.piece_id for t in self._amending.floor.hands.done_in(self.stretch)}
        word = "done" if done else "in" if covered else "out"
        return offer(f"piece {piece.id}", piece.mark, partial(self._turn, piece), detail=word, checked=covered)

    def _turn(self, piece: Piece, moment: Moment | None) -> None:
        stretch = self.stretch
        covered = piece.id in stretch.pieces
        wanted = [p for p in stretch.pieces if p != piece.id] if covered else [*stretch.pieces, piece.id]
        what = f"{name_of(self._amending.floor, stretch)}: {piece.mark} {'out' if covered else 'in'}"
        self._amending.press(what, lambda turn: use_pieces(turn, stretch, wanted), moment, stretch.start_us)
