"""The journal read from its first line: what every thing is by the presses that stand, and lines that can't be so.

Each line says what a thing was before its press and what after. Before has to be what the last line left, or two
programs have written; and at each place both have to be what is folded of the presses that stood there.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from itertools import groupby, pairwise
from operator import itemgetter
from typing import Any, NamedTuple

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.fold import Placed, in_order, moves_of, moving
from shopclock.shop.state.fold import Part, PressPlace, fold, folded
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Entity

_LINES = """SELECT thing, number, order_us, bench_id, sequence, press.id, before, after, version
    FROM journal JOIN press ON press.id = press_id {some}
    ORDER BY thing, number, order_us, bench_id, sequence, journal.id"""
_SOME = """WHERE (thing, number) IN (SELECT thing, number FROM journal WHERE id > :after)"""
_TAKERS = """SELECT order_us, bench_id, sequence, press.id, takes_id FROM taken_back JOIN press ON press.id = press_id
    ORDER BY order_us, bench_id, sequence, press.id"""
FOLDED_SINCE = 2
"""In version 1 an Undo wrote old values, whatever had been changed since: lines of what is so old are only in a row."""


class Folded(NamedTuple):
    """One thing of the journal: what it is now, as its last change, and by which presses a line of it can't be so."""

    change: Change
    wrong: tuple[int, ...]


class Line(NamedTuple):
    """Line of the journal: its press, what the thing was before it and after, in a version of the record."""

    place: PressPlace
    before: str | None
    after: str | None
    version: int


def folded_things(connection: sa.Connection, after: int = 0) -> Iterator[tuple[str, Folded]]:
    """Yield all things that have a line after one, table by table, folded of all the lines that they have."""
    reading = _Reading(connection)
    query = sa.text(_LINES.format(some=_SOME if after else ""))
    rows = connection.execute(query, {"after": after} if after else {}, execution_options={"yield_per": 2_000})
    for (thing, number), some in groupby(rows, key=itemgetter(0, 1)):
        lines = [Line(PressPlace(*row[2:6]), *row[6:]) for row in some]
        yield thing, reading.folded(thing, number, lines)


class _Taker(NamedTuple):
    """Press that takes back, and the presses that stand since, or do not."""

    place: PressPlace
    stands: dict[int, bool]


class _Reading:
    """The journal's presses that take back, and its moves, held against the lines of one thing after another."""

    def __init__(self, connection: sa.Connection) -> None:
        self._takers = list(_takers(connection.exec_driver_sql(_TAKERS)))
        self._of = {taker.place.id: taker for taker in self._takers}
        self._moves = moves_of(connection)
        self._by_taken: dict[int, list[_Taker]] = defaultdict(list)
        for taker in self._takers:
            for number in taker.stands:
                self._by_taken[number].append(taker)

    def folded(self, thing: str, number: int, lines: list[Line]) -> Folded:
        """Return a thing folded of its lines. Most have none that was taken back: their last line says it all."""
        wrong = {later.place.id for line, later in pairwise(lines) if not _same(thing, line, later)}
        first, last, moves = lines[0].place, lines[-1], list(moving(self._moves, number))
        if lines[0].before is not None:
            wrong.add(first.id)
        moved = any(first < move.place for move in moves)
        if not moved and not any(line.place.id in self._of or line.place.id in self._by_taken for line in lines):
            return Folded(_change(thing, last), tuple(sorted(wrong)))
        now, badly = self._fold(thing, lines, moves)
        known = _change(thing, last)
        return Folded(known if known.after == now else Change(known.thing, now), tuple(sorted(wrong | badly)))

    def _fold(self, thing: str, lines: list[Line], moves: list[Placed]) -> tuple[Entity | None, set[int]]:
        """Fold the lines place by place; return what the thing is in the end, and the presses that say otherwise."""
        own = [
            Placed(line.place, stands=True, part=Part(_change(thing, line)))
            for line in lines
            if line.place.id not in self._of
        ]
        parts = in_order([*own, *(move for move in moves if lines[0].place < move.place)])
        takers = {taker.place: taker for part in parts for taker in self._by_taken.get(part.place.id, ())}
        takers |= {line.place: self._of[line.place.id] for line in lines if line.place.id in self._of}
        said: dict[PressPlace, list[Line]] = defaultdict(list)
        for line in lines:
            said[line.place].append(line)
        by_place: dict[PressPlace, list[Part]] = defaultdict(list)
        for one in parts:
            by_place[one.place].append(one.part)
        now: Entity | None = None
        stands: dict[int, bool] = {}
        wrong: set[int] = set()
        for place in sorted({*by_place, *takers}):
            was = now
            if place in takers:
                stands |= takers[place].stands
                so_far = (one for one in parts if one.place < place and stands.get(one.place.id, True))
                now = fold(one.part for one in so_far)
            for part in by_place.get(place, ()):
                now = folded(now, part)
            if lines[0].version >= FOLDED_SINCE and not _says(thing, said[place], was, now):
                wrong.add(place.id)
        return now, wrong


def _takers(rows: Iterable[Any]) -> Iterator[_Taker]:
    """Yield the presses that take back, each with the presses that stand since, or do not."""
    undone: dict[int, list[int]] = {}
    left: dict[int, int] = defaultdict(int)
    for place, some in groupby(rows, key=lambda row: PressPlace(*row[:4])):
        takes = [row[4] for row in some]
        stands: dict[int, bool] = {}
        for number in takes:
            if number in undone:  # an Undo: what it took back stands, unless another Undo of it does
                for taken in undone[number]:
                    left[taken] -= 1
                    stands[taken] = left[taken] == 0
            else:
                left[number] += 1
                stands[number] = False
        undone[place.id] = takes
        yield _Taker(place, stands)


def _says(thing: str, lines: list[Line], was: Entity | None, now: Entity | None) -> bool:
    """Tell whether the lines of a press say that a thing was this and is that; without lines both are the same."""
    if not lines:
        return was == now
    return _change(thing, lines[0]).before == was and _change(thing, lines[-1]).after == now


def _same(thing: str, line: Line, later: Line) -> bool:
    """Tell whether a line begins with what the line before left."""
    if line.after == later.before:
        return True
    kind = KIND_NAMED[thing]
    return from_line(kind, line.after, line.version) == from_line(kind, later.before, later.version)


def _change(thing: str, line: Line) -> Change:
    kind = KIND_NAMED[thing]
    return Change(from_line(kind, line.before, line.version), from_line(kind, line.after, line.version))
