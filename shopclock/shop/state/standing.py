"""Presses that stand: one stands unless a standing one takes it back, or where standing ones rest on it.

An Undo takes back a press, a Put back takes back Undos. A press that made a thing at which a standing press points
stands, whole, whatever Undo names it.
"""

import heapq
from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable
from dataclasses import dataclass
from typing import Any

Name = Hashable
"""Whatever a thing is known by: its table and its number."""


@dataclass(frozen=True, slots=True, order=True)
class PressPlace:
    """Place of a press in the one order of all, and at its end its number here."""

    order_us: int
    bench_id: int
    sequence: int
    id: int


@dataclass(frozen=True, slots=True)
class PressNote:
    """What decides whether presses stand: which this one takes back, which things it made, at which it points."""

    place: PressPlace
    takes: Collection[int] = ()
    makes: Collection[Name] = ()
    points: Collection[Name] = ()


def standing(presses: Iterable[PressNote]) -> set[int]:
    """Return the numbers of those that stand: judged newest first, as what decides about a press comes later."""
    taken: set[int] = set()
    pointed: set[Name] = set()
    found: set[int] = set()
    for press in sorted(presses, key=lambda one: one.place, reverse=True):
        if press.place.id not in taken or not pointed.isdisjoint(press.makes):
            found.add(press.place.id)
            taken.update(press.takes)
            pointed.update(press.points)
    return found


class Standing:
    """The same, one press at a time, in whatever order they arrive: only what a press decides about is judged anew."""

    def __init__(self) -> None:
        self.numbers: set[int] = set()
        self._known: dict[int, PressNote] = {}
        self._takers: dict[int, list[int]] = defaultdict(list)
        self._pointers: dict[Name, list[int]] = defaultdict(list)
        self._makers: dict[Name, list[int]] = defaultdict(list)

    def add(self, press: PressNote) -> set[int]:
        """Add a press; return the numbers of those that stand now and did not, or stood and don't."""
        number = press.place.id
        self._known[number] = press
        for index, names in ((self._takers, press.takes), (self._pointers, press.points), (self._makers, press.makes)):
            for name in names:
                index[name].append(number)  # type: ignore[index]  # each by what it is of
        return self._judge(number)

    def _judge(self, number: int) -> set[int]:
        """Judge a press, then all that it decides about where it changed, the newest first."""
        changed: set[int] = set()
        waiting: list[tuple[Any, int]] = [(_newest_first(self._known[number].place), number)]
        while waiting:
            _, number = heapq.heappop(waiting)
            press = self._known[number]
            if self._stands(press) == (number in self.numbers):
                continue
            self.numbers ^= {number}
            changed ^= {number}
            made_by = (maker for name in press.points for maker in self._makers[name])
            for other in {*press.takes, *made_by} & self._known.keys():
                heapq.heappush(waiting, (_newest_first(self._known[other].place), other))
        return changed

    def _stands(self, press: PressNote) -> bool:
        number = press.place.id
        free = self.numbers.isdisjoint(self._takers[number])
        return free or any(not self.numbers.isdisjoint(self._pointers[name]) for name in press.makes)


def _newest_first(place: PressPlace) -> tuple[int, int, int, int]:
    return -place.order_us, -place.bench_id, -place.sequence, -place.id
