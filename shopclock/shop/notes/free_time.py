"""Free time in a day, for whatever can't be at two things at once."""

from bisect import bisect_right, insort
from collections import defaultdict
from collections.abc import Collection, Hashable

_NEVER_US = 2**63


class FreeTime:
    """Times that are taken, by what they take: a maker's hands, the pieces of a batch."""

    def __init__(self) -> None:
        self._taken: dict[Hashable, list[tuple[int, int]]] = defaultdict(list)

    def take(self, keys: Collection[Hashable], start_us: int, end_us: int) -> None:
        """Note a stretch as taken; those that touch or overlap become one."""
        for key in keys:
            taken, start, end = self._taken[key], start_us, end_us
            low = _first_that_ends(taken, start - 1)
            high = bisect_right(taken, (end, _NEVER_US))
            if low < high:
                start, end = min(start, taken[low][0]), max(end, taken[high - 1][1])
                del taken[low:high]
            insort(taken, (start, end))

    def in_the_way(self, keys: Collection[Hashable], start_us: int, end_us: int) -> int | None:
        """Return the end of something taken that shares an instant with a stretch, or nothing."""
        for key in keys:
            taken = self._taken[key]
            at = _first_that_ends(taken, start_us)
            if at < len(taken) and taken[at][0] < end_us:
                return taken[at][1]
        return None

    def room(self, keys: Collection[Hashable], length_us: int, from_us: int, until_us: int) -> int | None:
        """Return the first instant from which there is room for a length before `until_us`, or nothing."""
        start_us = from_us
        while start_us + length_us <= until_us:
            next_us = self.in_the_way(keys, start_us, start_us + length_us)
            if next_us is None:
                return start_us
            start_us = next_us
        return None


def _first_that_ends(taken: list[tuple[int, int]], after_us: int) -> int:
    """Return the place of the first stretch that ends after an instant; they share no instant, and stand in order."""
    at = bisect_right(taken, (after_us, _NEVER_US))
    return at - 1 if at and taken[at - 1][1] > after_us else at
