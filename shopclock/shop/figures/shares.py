"""Shares: whose minutes a stretch of work were.

An interval's labour is shared equally among the pieces it covers. In a stage worked one by one
the stretch since the last piece done, start or resume belongs to the piece that is done next, and
only what is left at the end is shared by those not yet done (by all covered, if all are). A split
for another reason starts no new stretch, so intervals are looked at chain by chain. Set-up is
nobody's stretch: it is shared by all covered.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence

from shopclock.shop.figures.labour import Part, divide
from shopclock.shop.values.entities import Interval, Tally
from shopclock.shop.values.kinds import WorkKind

Shares = tuple[tuple[int, int], ...]
"""Piece number and microseconds, by mark."""


def chain_shares(
    chain: Sequence[Interval],
    parts: dict[int, list[Part]],
    done: Sequence[Tally],
    one_by_one: bool,
    place: Callable[[int], int],
) -> dict[int, Shares]:
    """Work out the shares of each ended interval of a chain.

    `chain` is what one start or resume began, split by split; `parts` its labour; `done` the
    pieces marked one by one in it, oldest first; `place` orders pieces by mark. Shares of an
    interval add up to its labour.
    """
    if not one_by_one:
        done = ()
    found = {}
    for interval in chain:
        if interval.pieces and interval.id in parts:
            amounts = _by_owners(interval, parts[interval.id], done)
            found[interval.id] = _spread(interval, amounts, place)
    return found


def _by_owners(interval: Interval, parts: list[Part], done: Sequence[Tally]) -> dict[tuple[int, ...], int]:
    """Add up an interval's labour by the pieces that it belongs to."""
    finished = {tally.piece_id for tally in done}
    left = tuple(p for p in interval.pieces if p not in finished) or interval.pieces
    amounts: dict[tuple[int, ...], int] = defaultdict(int)
    for part in parts:
        owners = interval.pieces
        if interval.work is not WorkKind.SETUP:
            owners = _stretch_owner(interval, part, done) or left
        amounts[owners] += part.labour_us
    return amounts


def _stretch_owner(interval: Interval, part: Part, done: Sequence[Tally]) -> tuple[int, ...] | None:
    """Return the piece that a part was spent on: the next one done, if it was under the hands."""
    for tally in done:
        if tally.at_us >= part.end_us:
            return (tally.piece_id,) if tally.piece_id in interval.pieces else None
    return None


def _spread(interval: Interval, amounts: dict[tuple[int, ...], int], place: Callable[[int], int]) -> Shares:
    got = dict.fromkeys(sorted(interval.pieces, key=place), 0)
    for owners, amount in amounts.items():
        ordered = sorted(owners, key=place)
        for piece, share in zip(ordered, divide(amount, [1] * len(ordered)), strict=True):
            got[piece] += share
    return tuple(got.items())
