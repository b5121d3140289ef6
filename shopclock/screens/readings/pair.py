"""Asking which pair of scales belongs on a piece; a mix-up is told, with the way to put it right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.values.entities import Batch
from shopclock.shop.work.pairs import pair_of, set_note, swap, taken_by, tie
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.field import Number, Pick, Text, choose

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Piece
    from shopclock.views.field import Asking

ABOUT = (
    Choice("number", "Its number", "another pair"),
    Choice("note", "Material", "a note"),
    Choice("off", "Take it off", "the pair stays, on no piece"),
)


def ask_pair(stack: PagedPresenter, piece: Piece) -> Asking[None]:
    """Ask for a piece's pair; where it has one, what about it."""
    pair = pair_of(stack.floor, piece)
    about = (yield from Pick(f"Pair {pair.number} on {piece.mark}", ABOUT)) if pair is not None else "number"
    if pair is not None and about == "note":
        note = yield from Text(f"What is pair {pair.number} made of", pair.note)
        stack.do(f"Pair {pair.number}", lambda tx: set_note(tx, pair, note))
    elif about == "off":
        stack.do(f"Pair off: {piece.mark}", lambda tx: tie(tx, piece, ""))
    else:
        yield from _ask_number(stack, piece, pair.number if pair is not None else "")


def _ask_number(stack: PagedPresenter, piece: Piece, start: str) -> Asking[None]:
    typed = yield from Number(f"Pair of scales on {piece.mark}", start, signs=COUNT)
    number, other = typed.strip(), taken_by(stack.floor, typed, piece)
    if other is None:
        what = f"Pair {number}: {piece.mark}" if typed else f"Pair off: {piece.mark}"
        stack.do(what, lambda tx: tie(tx, piece, typed))
        return
    answers = (
        (Choice("swap", "Swap the two", f"{piece.mark} gets pair {number}", role="primary"), True),
        (Choice("leave", "Leave it", "nothing is changed"), False),
    )
    if (
        yield from choose(f"Pair {number} is on {other.mark} of {stack.floor.get(Batch, other.batch_id).name}", answers)
    ):
        stack.do(f"Pairs swapped: {piece.mark}", lambda tx: swap(tx, piece, other))
