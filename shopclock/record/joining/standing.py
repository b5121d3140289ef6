"""Presses that stand once those of other benches are there: judged newest first, from what came on.

A press that made what a standing press points at stays, whole, whatever takes it back: `kept` says which these are.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from heapq import heappop, heappush

import sqlalchemy as sa

from shopclock.record.file.fold import FOLDED, FREE, STANDS, Name, points, pressed_by
from shopclock.record.file.schema import NOT_BROUGHT

_PLACE = "SELECT order_us, bench_id, sequence FROM press WHERE id = ?"
_FREE = f"SELECT {FREE} FROM press WHERE id = ?"  # noqa: S608  # ours
_KEPT = "SELECT 1 FROM kept WHERE press_id = ?"
_MADE = f"""SELECT thing, number FROM journal JOIN press ON press.id = press_id
    WHERE press_id = ? AND before IS NULL AND {FOLDED}"""  # noqa: S608  # ours
_LINES = "SELECT thing, number, after, version FROM journal WHERE press_id = ?"
_UNDONE = f"""SELECT thing, number, press.id FROM press JOIN journal ON press.id = press_id
    WHERE press.id IN (SELECT takes_id FROM taken_back) AND NOT {FREE} AND {FOLDED} AND before IS NULL"""  # noqa: S608  # ours
_LATER = f"""SELECT thing, number, after, version FROM press JOIN journal ON press.id = press_id
    WHERE press.order_us >= ? AND (press.order_us, press.bench_id, press.sequence) > (?, ?, ?)
    AND {STANDS} AND {FOLDED} AND {NOT_BROUGHT}
    AND NOT EXISTS (SELECT 1 FROM clock_move WHERE clock_move.press_id = press.id)"""  # noqa: S608  # ours
_TAKEN = """SELECT one.takes_id FROM taken_back AS one WHERE one.press_id = ?
    UNION SELECT other.takes_id FROM taken_back AS one JOIN taken_back AS other ON other.press_id = one.takes_id
    WHERE one.press_id = ?"""


def judge_anew(connection: sa.Connection, come: Collection[int]) -> set[int]:
    """Judge what presses that have come take back or rest on; return all presses whose standing may be another now."""
    taken = {n for press in come for n in connection.exec_driver_sql(_TAKEN, (press, press)).scalars()}
    judged = set(taken)
    heap: list[tuple[tuple[int, ...], int]] = []
    undone = _made_by_undone(connection)
    for number in {*taken, *(maker for press in come for maker in _rests_on(connection, press, undone))}:
        _push(connection, heap, number)
    seen: set[int] = set()
    while heap:
        number = heappop(heap)[1]
        if number in seen:
            continue
        seen.add(number)
        was = connection.exec_driver_sql(_KEPT, (number,)).first() is not None
        free = bool(connection.exec_driver_sql(_FREE, (number,)).scalar_one())
        kept = not free and _is_rested_on(connection, number)
        if kept and not was:
            connection.exec_driver_sql("INSERT INTO kept VALUES (?)", (number,))
        elif was and not kept:
            connection.exec_driver_sql("DELETE FROM kept WHERE press_id = ?", (number,))
        if kept != was or number in taken:
            judged.add(number)
            for maker in _rests_on(connection, number, undone):
                _push(connection, heap, maker)
    return judged


def _push(connection: sa.Connection, heap: list[tuple[tuple[int, ...], int]], number: int) -> None:
    """Have a press judged in its turn: newest first."""
    place = connection.exec_driver_sql(_PLACE, (number,)).one()
    heappush(heap, (tuple(-part for part in place), number))


def _made_by_undone(connection: sa.Connection) -> dict[Name, set[int]]:
    """Return what presses made that are taken back, each with these presses."""
    found: dict[Name, set[int]] = defaultdict(set)
    for thing, number, press_id in connection.exec_driver_sql(_UNDONE):
        found[thing, number].add(press_id)
    return found


def _rests_on(connection: sa.Connection, press_id: int, undone: Mapping[Name, set[int]]) -> Iterator[int]:
    """Yield the presses that are taken back and made what a press points at."""
    if not undone:
        return
    maker = connection.exec_driver_sql("SELECT maker_id FROM press WHERE id = ?", (press_id,)).scalar_one()
    pointed: set[Name] = {("maker", maker)}
    for thing, number, after, version in connection.exec_driver_sql(_LINES, (press_id,)).all():
        pointed |= points(thing, number, after, version)
    for name in sorted(pointed & undone.keys()):
        yield from undone[name] - {press_id}


def _is_rested_on(connection: sa.Connection, press_id: int) -> bool:
    """Tell whether standing presses point at what a press made."""
    made = {(thing, number) for thing, number in connection.exec_driver_sql(_MADE, (press_id,))}
    if not made or pressed_by(connection, press_id, made):
        return bool(made)
    words = [f":{number}" for _, number in made] + [f"[{number}" for _, number in made] + [f",{n}" for _, n in made]
    place = connection.exec_driver_sql(_PLACE, (press_id,)).one()
    for thing, number, after, version in connection.exec_driver_sql(_LATER, (place.order_us, *place)):
        if (thing, number) in made:
            return True
        may = after is not None and any(word in after for word in words)
        if may and not made.isdisjoint(points(thing, number, after, version)):
            return True
    return False
