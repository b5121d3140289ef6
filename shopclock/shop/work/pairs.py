"""Pairs of scales: which belongs on which piece. A letter hides under the scales; pair and number tell it then."""

from dataclasses import replace

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.values.entities import Batch, Piece, Scales
from shopclock.shop.values.errors import Refusal

LONGEST = 12


def pair_of(floor: ShopFloor, piece: Piece) -> Scales | None:
    """Return the pair that belongs on a piece, or nothing."""
    return next((pair for pair in floor.all(Scales) if pair.piece_id == piece.id), None)


def taken_by(floor: ShopFloor, number: str, piece: Piece) -> Piece | None:
    """Return the other piece of an open batch that a pair of this number is on: a mix-up. Numbers come again later."""
    wanted = number.strip().casefold()
    for pair in floor.all(Scales):
        other = floor.find(Piece, pair.piece_id or 0)
        if other is not None and other.id != piece.id and pair.number.casefold() == wanted and _open(floor, other):
            return other
    return None


def _open(floor: ShopFloor, piece: Piece) -> bool:
    return floor.get(Batch, piece.batch_id).closed_us is None


def tie(tx: Transaction, piece: Piece, number: str) -> Scales | None:
    """Say which pair belongs on a piece, "" none; refused where that pair is on another one."""
    wanted = " ".join(number.split())
    other = taken_by(tx.floor, wanted, piece) if wanted else None
    if other is not None:
        raise Refusal(f"Pair {wanted} is on {_called(tx.floor, other)}. Nothing was changed.")
    if len(wanted) > LONGEST:
        raise Refusal(f"{wanted} is too long for a pair's number. Nothing was changed.")
    before = pair_of(tx.floor, piece)
    if before is not None and before.number == wanted:
        return before
    if before is not None:
        tx.change(replace(tx.current(before), piece_id=None))
    return _bring(tx, piece, wanted) if wanted else None


def _bring(tx: Transaction, piece: Piece, number: str) -> Scales:
    """Take the free pair of this number, or a new one."""
    free = (p for p in tx.floor.all(Scales) if p.piece_id is None and p.number.casefold() == number.casefold())
    pair = next(free, None)
    if pair is not None:
        return tx.change(replace(tx.current(pair), piece_id=piece.id))
    return tx.add(Scales(number=number, piece_id=piece.id))


def swap(tx: Transaction, piece: Piece, other: Piece) -> None:
    """Put a mix-up right: each of the two gets the pair of the other, or none where it had none."""
    mine, theirs = pair_of(tx.floor, piece), pair_of(tx.floor, other)
    if theirs is not None:
        tx.change(replace(tx.current(theirs), piece_id=piece.id))
    if mine is not None:
        tx.change(replace(tx.current(mine), piece_id=other.id))


def set_note(tx: Transaction, pair: Scales, note: str) -> Scales:
    """Say what a pair is made of."""
    return tx.change(replace(tx.current(pair), note=" ".join(note.split())))


def pair_said(floor: ShopFloor, piece: Piece) -> str:
    """Say a piece's pair: 12, plum burl; nothing where it has none."""
    pair = pair_of(floor, piece)
    return ", ".join(part for part in (pair.number, pair.note) if part) if pair is not None else ""


def _called(floor: ShopFloor, piece: Piece) -> str:
    return f"{piece.mark} of {floor.get(Batch, piece.batch_id).name}"
