"""Fold on disk: which presses stand, and what the things that one touched are if it stands, or does not.

Lines of presses that take back are there to be read and are never folded: they say what an Undo or a Put back came to.
"""

from collections.abc import Collection, Iterable, Iterator
from typing import NamedTuple

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.schema import COVERED, NOT_BROUGHT, POINTS_AT
from shopclock.shop.state.fold import SEVERAL, Move, Part, PressPlace, fold
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Entity
from shopclock.shop.values.ranges import own_range, range_of

Name = tuple[str, int]
"""Table of a thing and its number there."""

FREE = """NOT EXISTS (
    SELECT 1 FROM taken_back AS undo WHERE undo.takes_id = press.id
    AND NOT EXISTS (SELECT 1 FROM taken_back AS back WHERE back.takes_id = undo.press_id))"""
"""True of a press that no standing press takes back."""
STANDS = f"({FREE} OR EXISTS (SELECT 1 FROM kept WHERE kept.press_id = press.id))"  # noqa: S608  # ours
"""True of a press that stands: none takes it back, or what came from another bench meanwhile rests on it."""
FOLDED = "NOT EXISTS (SELECT 1 FROM taken_back AS own WHERE own.press_id = press.id)"
"""True of a press that takes nothing back."""
PLACE = "press.order_us, press.bench_id, press.sequence, press.id"
_LINES = f"""SELECT {PLACE}, {STANDS}, before, after, version FROM journal JOIN press ON press.id = press_id
    WHERE thing = ? AND number = ? AND {FOLDED} ORDER BY {PLACE}, journal.id"""  # noqa: S608  # the names are ours
_MOVES = f"""SELECT {PLACE}, {STANDS}, from_us, until_us, by_us FROM clock_move JOIN press ON press.id = press_id
    WHERE {FOLDED} ORDER BY {PLACE}"""  # noqa: S608  # ours
_TOUCHED = "SELECT thing, number FROM journal WHERE press_id = ? GROUP BY thing, number ORDER BY min(id)"
_MADE = "SELECT thing, number FROM journal WHERE press_id = ? AND before IS NULL"
_LATER = f"""SELECT press_id, thing, number, after, version FROM journal JOIN press ON press.id = press_id
    WHERE (press.order_us, press.bench_id, press.sequence) > (
        SELECT order_us, bench_id, sequence FROM press WHERE id = ?)
    AND {STANDS} AND {FOLDED} AND {NOT_BROUGHT}
    AND NOT EXISTS (SELECT 1 FROM clock_move WHERE clock_move.press_id = press.id)"""  # noqa: S608  # ours
_TAKEN = "SELECT takes_id FROM taken_back WHERE press_id = ? ORDER BY takes_id"
_UNDOS = """SELECT press_id FROM taken_back AS undo WHERE takes_id = ?
    AND NOT EXISTS (SELECT 1 FROM taken_back AS back WHERE back.takes_id = undo.press_id) ORDER BY press_id"""


class Placed(NamedTuple):
    """Something that a press did, at its place; `stands` if the press does."""

    place: PressPlace
    stands: bool
    part: Part


def refolded(connection: sa.Connection, presses: Collection[int], *, stands: bool) -> list[Change]:
    """Return what becomes of all that presses touched when they stand from now on, or no longer; in their order."""
    moves = moves_of(connection)
    found = []
    touched = (name for press in presses for name in connection.exec_driver_sql(_TOUCHED, (press,)).all())
    for thing, number in dict.fromkeys(map(tuple, touched)):
        parts = in_order([*parts_of(connection, thing, number), *moving(moves, number)])
        now = fold(part.part for part in parts if part.stands)
        then = fold(p.part for p in parts if (stands if p.place.id in presses else p.stands))
        if now is not None or then is not None:
            found.append(Change(now, then))
    return found


def as_it_stands(connection: sa.Connection, thing: str, number: int) -> Entity | None:
    """Return what a thing is by the presses that stand."""
    parts = in_order([*parts_of(connection, thing, number), *moving(moves_of(connection), number)])
    return fold(part.part for part in parts if part.stands)


def moving(moves: Iterable[Placed], number: int) -> Iterator[Placed]:
    """Yield the moves that move a thing: those of the clock of the bench that made it."""
    own = range_of(number)
    return (move for move in moves if own_range(move.place.bench_id) == own)


def parts_of(connection: sa.Connection, thing: str, number: int) -> Iterator[Placed]:
    """Yield what presses changed of a thing, by their places."""
    kind = KIND_NAMED[thing]
    for *place, stands, before, after, version in connection.exec_driver_sql(_LINES, (thing, number)):
        change = Change(from_line(kind, before, version), from_line(kind, after, version))
        yield Placed(PressPlace(*place), bool(stands), Part(change))


def moves_of(connection: sa.Connection) -> list[Placed]:
    """Return the moves of clocks that were put right, by their places."""
    return [
        Placed(PressPlace(*place), bool(stands), Part(move=Move(*move)))
        for *place, stands, from_us, until_us, by_us in connection.exec_driver_sql(_MOVES)
        for move in [(from_us, until_us, by_us)]
    ]


def moved_since(place: PressPlace, at_us: int, moves: Iterable[Placed]) -> int:
    """Return where an instant lies that a press at a place noted, after the standing moves that came later."""
    for later in moves:
        if later.stands and later.place > place and later.part.move is not None:
            at_us = later.part.move.at(at_us)
    return at_us


def in_order(parts: Iterable[Placed]) -> list[Placed]:
    """Return parts by their places; a move and what its press changed of the thing besides are one."""
    found: list[Placed] = []
    for placed in sorted(parts, key=lambda one: (one.place, one.part.move is None)):
        last = found[-1] if found else None
        if last is not None and last.place == placed.place and last.part.change is None:
            found[-1] = placed._replace(part=Part(placed.part.change, last.part.move))
        else:
            found.append(placed)
    return found


def rests_on(connection: sa.Connection, presses: Collection[int]) -> bool:
    """Tell whether other standing presses point at what these made: then they stand, whatever takes them back."""
    return any(_rests_on(connection, press_id, presses) for press_id in presses)


def _rests_on(connection: sa.Connection, press_id: int, but: Collection[int]) -> bool:
    made = {(thing, number) for thing, number in connection.exec_driver_sql(_MADE, (press_id,))}
    if not made or pressed_by(connection, press_id, made):
        return bool(made)
    later = (line for later_id, *line in connection.exec_driver_sql(_LATER, (press_id,)) if later_id not in but)
    return any(not made.isdisjoint(points(*line)) for line in later)


def pressed_by(connection: sa.Connection, press_id: int, made: Iterable[Name]) -> bool:
    """Tell whether a maker that a press made has pressed anything else since."""
    query = "SELECT 1 FROM press WHERE maker_id = ? AND id != ? LIMIT 1"
    makers = (number for thing, number in made if thing == "maker")
    return any(connection.exec_driver_sql(query, (number, press_id)).first() is not None for number in makers)


def points(thing: str, number: int, after: str | None, version: int) -> set[Name]:
    """Return what a line of the journal points at: the thing that it is about, and what that points at after it."""
    found = {(thing, number)}
    if (after_it := from_line(KIND_NAMED[thing], after, version)) is not None:
        found.update(pointed_at(after_it))
    return found


def pointed_at(thing: Entity) -> Iterator[Name]:
    """Yield what a thing points at."""
    for name, table in POINTS_AT.items():
        if (number := getattr(thing, name, None)) is not None:
            yield table, number
    if type(thing) in COVERED:
        yield from (("piece", number) for number in getattr(thing, SEVERAL))


def standing_undos(connection: sa.Connection, press_id: int) -> list[int]:
    """Return the presses that take a press back and stand."""
    return list(connection.exec_driver_sql(_UNDOS, (press_id,)).scalars())


def taken_by(connection: sa.Connection, press_id: int) -> list[int]:
    """Return the presses that a press takes back, the newest that is here last."""
    return list(connection.exec_driver_sql(_TAKEN, (press_id,)).scalars())


def moved_us(connection: sa.Connection, press_id: int, boot_id: str) -> int:
    """Return how far a press moved the instants of a boot, those to come too; 0 where it did not."""
    query = "SELECT moved_us FROM press WHERE id = ? AND boot_id = ?"
    return int(connection.exec_driver_sql(query, (press_id, boot_id)).scalar_one_or_none() or 0)
