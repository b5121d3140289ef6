"""A stretch that was split because something about it changed is still the same: a wait doesn't begin anew by it."""

from collections.abc import Iterator

from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Interval


def unbroken(floor: ShopFloor, interval: Interval) -> Iterator[Interval]:
    """Yield a stretch and what it goes on from without a gap at the same step, for the same sort of work."""
    yield interval
    before = floor.find(Interval, interval.continues_id or 0)
    while before is not None and before.end_us == interval.start_us and _alike(before, interval):
        yield before
        interval, before = before, floor.find(Interval, before.continues_id or 0)


def _alike(one: Interval, other: Interval) -> bool:
    return (one.step_id, one.kind, one.work) == (other.step_id, other.kind, other.work)


def began_us(floor: ShopFloor, interval: Interval, piece_id: int) -> int:
    """Return when a stretch began for a piece: one that was put in later came to it at a split."""
    at_us = interval.start_us
    for part in unbroken(floor, interval):
        if piece_id not in part.pieces:
            break
        at_us = part.start_us
    return at_us


def since_us(floor: ShopFloor, interval: Interval) -> int:
    """Return when a stretch began for the first of those in it."""
    return min((began_us(floor, interval, piece) for piece in interval.pieces), default=interval.start_us)


def last_since_us(floor: ShopFloor, interval: Interval) -> int:
    """Return when a stretch began for the last of those in it."""
    return max((began_us(floor, interval, piece) for piece in interval.pieces), default=interval.start_us)
