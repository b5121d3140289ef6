"""What ran when: an index of intervals by time, chain and piece done."""

from bisect import bisect_left, bisect_right, insort

from shopclock.shop.values.entities import Entity, Interval, Tally
from shopclock.shop.values.kinds import MarkedBy


class IntervalIndex:
    """Finds what runs, what overlaps, what continues what, and the pieces done in an interval."""

    def __init__(self) -> None:
        self.running: dict[int, Interval] = {}
        self.continued: dict[int, int] = {}
        self.ended: dict[int, list[tuple[int, int, int]]] = {}
        self._longest: dict[int, int] = {}
        self._done: dict[int, dict[int, Tally]] = {}

    def add(self, thing: Entity) -> None:
        """Take up an interval or a tally; other things don't matter here."""
        if isinstance(thing, Interval):
            self._add_interval(thing)
        elif isinstance(thing, Tally) and thing.how is MarkedBy.DONE and thing.interval_id is not None:
            self._done.setdefault(thing.interval_id, {})[thing.id] = thing

    def remove(self, thing: Entity) -> None:
        """Forget an interval or a tally as it was added."""
        if isinstance(thing, Interval):
            self._remove_interval(thing)
        elif isinstance(thing, Tally) and thing.interval_id is not None:
            self._done.get(thing.interval_id, {}).pop(thing.id, None)

    def _add_interval(self, interval: Interval) -> None:
        if interval.continues_id is not None:
            self.continued[interval.continues_id] = interval.id
        if interval.end_us is None:
            self.running[interval.id] = interval
        elif interval.kind.attended:
            insort(self.ended.setdefault(interval.maker_id, []), (interval.end_us, interval.id, interval.start_us))
            length_us = interval.end_us - interval.start_us
            self._longest[interval.maker_id] = max(length_us, self._longest.get(interval.maker_id, 0))

    def _remove_interval(self, interval: Interval) -> None:
        if interval.continues_id is not None and self.continued.get(interval.continues_id) == interval.id:
            del self.continued[interval.continues_id]
        if interval.end_us is None:
            self.running.pop(interval.id, None)
        elif interval.kind.attended:
            ended = self.ended[interval.maker_id]
            del ended[bisect_left(ended, (interval.end_us, interval.id, interval.start_us))]

    def done_in(self, interval: Interval) -> list[Tally]:
        """Return the pieces marked one by one in an interval, oldest first."""
        found = self._done.get(interval.id, {}).values()
        return sorted(found, key=lambda tally: (tally.at_us, tally.id))

    def ended_after(self, maker_id: int, at_us: int, began_before_us: int | None = None) -> list[int]:
        """Return the attended intervals of a maker that ended after an instant, by number.

        With another instant given, only those that began before that.
        """
        ended = self.ended.get(maker_id, [])
        first, beyond = bisect_right(ended, (at_us, 2**63)), len(ended)
        if began_before_us is not None:  # what ends later than the longest lasts has begun later
            beyond = bisect_left(ended, (began_before_us + self._longest.get(maker_id, 0),))
        late = ended[first:beyond]
        return [number for _, number, start in late if began_before_us is None or start < began_before_us]

    def last_ended(self, maker_id: int) -> list[int]:
        """Return the attended intervals of a maker that ended last, at one and the same instant."""
        ended = self.ended.get(maker_id, [])
        if not ended:
            return []
        return [number for _, number, _ in ended[bisect_right(ended, (ended[-1][0], -1)) :]]
