"""Asking which pair of scales belongs on a piece; a mix-up is told, with the way to put it right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.shop.values.entities import Batch
from shopclock.shop.work.pairs import pair_of, set_note, swap, taken_by, tie
from shopclock.views.dialogs import COUNT, Choice
from shopclock.views.page import on_answer

if TYPE_CHECKING:
    from shopclock.screens.paged.paged_presenter import PagedPresenter
    from shopclock.shop.values.entities import Piece, Scales

NUMBER = Choice("number", "Its number", "another pair")
NOTE = Choice("note", "Material", "a note")
OFF = Choice("off", "Take it off", "the pair stays, on no piece")


def ask_pair(stack: PagedPresenter, piece: Piece) -> None:
    """Ask for a piece's pair; where it has one, what about it."""
    pair = pair_of(stack.floor, piece)
    if pair is None:
        _ask_number(stack, piece, "")
        return
    acts = {
        "number": lambda: _ask_number(stack, piece, pair.number),
        "note": lambda: _ask_note(stack, pair),
        "off": lambda: _tie(stack, piece, ""),
    }
    stack.dialogs.ask(f"Pair {pair.number} on {piece.mark}", (NUMBER, NOTE, OFF), on_answer(lambda key: acts[key]()))


def _ask_number(stack: PagedPresenter, piece: Piece, start: str) -> None:
    stack.dialogs.number(
        f"Pair of scales on {piece.mark}", start, on_answer(lambda typed: _take(stack, piece, typed)), signs=COUNT
    )


def _take(stack: PagedPresenter, piece: Piece, number: str) -> None:
    other = taken_by(stack.floor, number, piece)
    if other is None:
        _tie(stack, piece, number)
        return
    choices = (
        Choice("swap", "Swap the two", f"{piece.mark} gets pair {number.strip()}", role="primary"),
        Choice("leave", "Leave it", "nothing is changed"),
    )
    stack.dialogs.ask(
        f"Pair {number.strip()} is on {other.mark} of {stack.floor.get(Batch, other.batch_id).name}",
        choices,
        on_answer(lambda key: _swap(stack, piece, other) if key == "swap" else None),
    )


def _tie(stack: PagedPresenter, piece: Piece, number: str) -> None:
    what = f"Pair {number.strip()}: {piece.mark}" if number else f"Pair off: {piece.mark}"
    stack.do(what, lambda tx: tie(tx, piece, number))


def _swap(stack: PagedPresenter, piece: Piece, other: Piece) -> None:
    stack.do(f"Pairs swapped: {piece.mark}", lambda tx: swap(tx, piece, other))


def _ask_note(stack: PagedPresenter, pair: Scales) -> None:
    def take(note: str) -> None:
        stack.do(f"Pair {pair.number}", lambda tx: set_note(tx, pair, note))

    stack.dialogs.text(f"What is pair {pair.number} made of", pair.note, on_answer(take))
