"""Labour: what a stretch of work gets of one pair of hands.

At any instant the hands-on intervals of a maker share the hands in proportion to the pieces they
cover (shop work counts as one); where none runs, the watches do; waits get nothing. So for each
maker the sum of labour is the length of the union of the hands-on and watch intervals.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Kind


@dataclass(frozen=True, slots=True)
class Part:
    """Part of an interval between two instants, in microseconds."""

    start_us: int
    end_us: int
    labour_us: int


def divide(amount: int, weights: Sequence[int]) -> list[int]:
    """Divide a whole amount in proportion to weights; what is left over goes one each, in order.

    The parts add up to the amount. Weights are 1 or more; the order is the caller's.
    """
    total = sum(weights)
    parts = [amount * weight // total for weight in weights]
    for i in range(amount - sum(parts)):
        parts[i] += 1
    return parts


def parts(
    intervals: Iterable[Interval], cuts: Iterable[int] = (), until_us: int | None = None
) -> dict[int, list[Part]]:
    """Work out what each interval of one maker gets, part by part, by interval number.

    `cuts` are instants (pieces done) at which a part must end. An interval that still runs counts
    as lasting until `until_us`, or without end: then it gets nothing itself but takes its share.
    Nothing is said of waits. An interval of no length has no parts.
    """
    attended = sorted((i for i in intervals if i.kind.attended), key=lambda i: (i.start_us, i.id))
    ends = {i.id: i.end_us if i.end_us is not None else until_us for i in attended}
    points = {i.start_us for i in attended} | {e for e in ends.values() if e is not None}
    points.update(cuts)
    found: dict[int, list[Part]] = {i.id: [] for i in attended if ends[i.id] is not None}
    for start, end in pairwise(sorted(points)):
        active = [i for i in attended if i.start_us <= start and _reaches(ends[i.id], end)]
        for interval, labour in _share_hands(active, end - start):
            if interval.id in found:
                found[interval.id].append(Part(start, end, labour))
    return found


def _reaches(end_us: int | None, to_us: int) -> bool:
    return end_us is None or end_us >= to_us


def _share_hands(active: list[Interval], length: int) -> list[tuple[Interval, int]]:
    """Share a length among what is under the hands, in the order of (start, number)."""
    by_hand = [i for i in active if i.kind is Kind.HANDS_ON]
    under = by_hand or active
    if not under:
        return []
    got = divide(length, [max(1, len(i.pieces)) for i in under])
    rest = {i.id: 0 for i in active}
    rest.update({i.id: amount for i, amount in zip(under, got, strict=True)})
    return [(i, rest[i.id]) for i in active]


def labour_of(found: dict[int, list[Part]]) -> dict[int, int]:
    """Add up the parts of each interval."""
    return {number: sum(p.labour_us for p in ps) for number, ps in found.items()}


def apart(intervals: Iterable[Interval]) -> list[list[Interval]]:
    """Return the attended intervals of one maker in groups that share no instant, and so no hands."""
    groups: list[list[Interval]] = []
    until = float("-inf")
    for interval in sorted((i for i in intervals if i.kind.attended), key=lambda i: (i.start_us, i.id)):
        if interval.start_us >= until:
            groups.append([])
        groups[-1].append(interval)
        until = max(until, float("inf") if interval.end_us is None else interval.end_us)
    return groups


def by_maker(intervals: Iterable[Interval]) -> dict[int, list[Interval]]:
    """Sort intervals by whose hands they need."""
    sorted_out: dict[int, list[Interval]] = defaultdict(list)
    for interval in intervals:
        sorted_out[interval.maker_id].append(interval)
    return sorted_out
