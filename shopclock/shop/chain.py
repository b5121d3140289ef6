"""A stretch that was split because something about it changed is still the same: a wait doesn't begin anew by it."""

from collections.abc import Iterator

from shopclock.shop.floor import Floor
from shopclock.shop.values import Interval


def unbroken(floor: Floor, stretch: Interval) -> Iterator[Interval]:
    """Yield a stretch and what it goes on from without a gap at the same step, for the same sort of work."""
    yield stretch
    before = floor.find(Interval, stretch.continues_id or 0)
    while before is not None and before.end_us == stretch.start_us and _alike(before, stretch):
        yield before
        stretch, before = before, floor.find(Interval, before.continues_id or 0)


def _alike(one: Interval, other: Interval) -> bool:
    return (one.step_id, one.kind, one.work) == (other.step_id, other.kind, other.work)


def began_us(floor: Floor, stretch: Interval, piece_id: int) -> int:
    """Return when a stretch began for a piece: one that was put in later came to it at a split."""
    at_us = stretch.start_us
    for part in unbroken(floor, stretch):
        if piece_id not in part.pieces:
            break
        at_us = part.start_us
    return at_us


def since_us(floor: Floor, stretch: Interval) -> int:
    """Return when a stretch began for the first of those in it."""
    return min((began_us(floor, stretch, piece) for piece in stretch.pieces), default=stretch.start_us)


def last_since_us(floor: Floor, stretch: Interval) -> int:
    """Return when a stretch began for the last of those in it."""
    return max((began_us(floor, stretch, piece) for piece in stretch.pieces), default=stretch.start_us)
