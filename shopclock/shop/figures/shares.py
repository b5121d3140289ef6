"""Shares: whose minutes a stretch of work were.

An interval's labour is shared equally among the pieces it covers. In a stage worked one by one the stretch since the
last claim, start or resume belongs to whoever claims it next: a piece that is done, or one that is lost under the
hands. Only what is left at the end is shared by those not yet done (by all covered, if all are). A split for another
reason starts no new stretch, so intervals are looked at chain by chain. Set-up is nobody's stretch: it is shared by
all covered.

Marks that follow each other closely catch up, as do those made after Stop, at its instant: the stretch is theirs in
equal parts. What was worked before a piece was put in is not its own, though it claims first: where nobody of those
who claim was in hand, it is shared like what is left.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from shopclock.shop.figures.labour import Part, divide
from shopclock.shop.values.entities import Interval, Tally
from shopclock.shop.values.kinds import WorkKind

Shares = tuple[tuple[int, int], ...]
"""Piece number and microseconds, by mark."""
CATCH_UP_US = 20_000_000
"""Marks no further apart than this were not worked apart."""


@dataclass(frozen=True, slots=True)
class Claim:
    """Claim of pieces, in equal parts, on the stretch before an instant. `done`: they are through, none is lost."""

    at_us: int
    pieces: tuple[int, ...]
    done: bool = True


def near_us(one_us: int | None) -> int:
    """Return how close marks follow each other that catch up, where a piece takes as long as this: a quarter of it.

    20 s at most, and where it is not known. It is the length that the batch's own route has: one that followed the
    last batches would move the shares of this one with every new one.
    """
    return CATCH_UP_US if one_us is None else min(CATCH_UP_US, one_us // 4)


def groups(marks: Iterable[Tally], near: int) -> list[list[Tally]]:
    """Put marks together that catch up, each with the one before it; oldest first, as they come.

    What was marked by the rules of version 1 of the record stands alone, as it did.
    """
    found: list[list[Tally]] = []
    for mark in marks:
        if found and _catches_up(found[-1][-1], mark, near):
            found[-1].append(mark)
        else:
            found.append([mark])
    return found


def _catches_up(before: Tally, mark: Tally, near: int) -> bool:
    return min(before.rules, mark.rules) > 1 and mark.at_us - before.at_us <= near


def claims(marks: Sequence[Sequence[Tally]], lost: Iterable[tuple[int, int]] = ()) -> list[Claim]:
    """Return the claims that groups of marks make, and pieces lost under the hands (when, which), by when.

    A group claims up to each of its marks, so that what is lost in between keeps its own.
    """
    of_marks = (Claim(mark.at_us, tuple(dict.fromkeys(m.piece_id for m in group))) for group in marks for mark in group)
    of_lost = (Claim(at_us, (piece,), done=False) for at_us, piece in lost)
    return sorted([*of_marks, *of_lost], key=lambda claim: claim.at_us)


def chain_shares(
    chain: Sequence[Interval], parts: dict[int, list[Part]], claimed: Sequence[Claim], place: Callable[[int], int]
) -> dict[int, Shares]:
    """Work out the shares of each ended interval of a chain.

    `chain` is what one start or resume began, split by split; `parts` its labour; `claimed` the claims made in it,
    oldest first, none in a stage worked in rounds; `place` orders pieces by mark. Shares of an interval add up to
    its labour.
    """
    return {
        interval.id: _spread(interval, _by_owners(interval, parts[interval.id], claimed), place)
        for interval in chain
        if interval.pieces and interval.id in parts
    }


def _by_owners(interval: Interval, parts: list[Part], claimed: Sequence[Claim]) -> dict[tuple[int, ...], int]:
    """Add up an interval's labour by the pieces that it belongs to."""
    finished = {piece for claim in claimed if claim.done for piece in claim.pieces}
    left = tuple(p for p in interval.pieces if p not in finished) or interval.pieces
    amounts: dict[tuple[int, ...], int] = defaultdict(int)
    for part in parts:
        owners = interval.pieces
        if interval.work is not WorkKind.SETUP:
            owners = _stretch_owners(interval, part, claimed) or left
        amounts[owners] += part.labour_us
    return amounts


def _stretch_owners(interval: Interval, part: Part, claimed: Sequence[Claim]) -> tuple[int, ...]:
    """Return the pieces that a part was spent on: those who claim it next, as far as they were under the hands."""
    following = next((claim for claim in claimed if claim.at_us >= part.end_us), None)
    return tuple(p for p in following.pieces if p in interval.pieces) if following is not None else ()


def _spread(interval: Interval, amounts: dict[tuple[int, ...], int], place: Callable[[int], int]) -> Shares:
    got = dict.fromkeys(sorted(interval.pieces, key=place), 0)
    for owners, amount in amounts.items():
        ordered = sorted(owners, key=place)
        for piece, share in zip(ordered, divide(amount, [1] * len(ordered)), strict=True):
            got[piece] += share
    return tuple(got.items())
