"""Counts of what would be made of old notes."""

from dataclasses import dataclass

from shopclock.exchange.notes.notes import NotesDraft
from shopclock.shop.notes.entries import batches_by_name
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.kinds import Certainty


@dataclass(frozen=True, slots=True)
class Counts:
    """Batches to make and to go on with, pieces of the new ones, stretches; `work_us` is attended time.

    `estimated` stretches have no time of day, `known` rows are in the record already, `left_out` can't be taken.
    """

    new: int
    gone_on: int
    pieces: int
    intervals: int
    work_us: int
    estimated: int
    known: int
    left_out: int


def counts(floor: ShopFloor, drafted: NotesDraft) -> Counts:
    """Count what would be made."""
    placed, there = drafted.notes.placed, batches_by_name(floor)
    pieces: dict[str, int] = {}
    gone_on: set[str] = set()
    for one in placed:
        if not one.shop_work:
            key = one.entry.batch_key
            pieces[key] = max(pieces.get(key, 0), one.entry.pieces or 1)
            if one.entry.batch.casefold() in there:
                gone_on.add(key)
    return Counts(
        new=len(pieces) - len(gone_on),
        gone_on=len(gone_on),
        pieces=sum(n for key, n in pieces.items() if key not in gone_on),
        intervals=len(placed),
        work_us=sum(one.end_us - one.start_us for one in placed if one.kind.attended),
        estimated=sum(one.sure is Certainty.ESTIMATED for one in placed),
        known=drafted.known,
        left_out=len(drafted.troubles),
    )
