"""Presses as they travel: each with its lines of the journal, named by its bench and its place among that bench's."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Any, NamedTuple

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.fold import Name, pointed_at
from shopclock.record.file.schema import PRESS, VERSION
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.ranges import own_range, whole_of

PressName = tuple[int, int]
"""Number of a bench, and of a press among its own."""
COLUMNS = tuple(column.name for column in PRESS.columns if column.name != "id")
AT_ONCE = 200


class Line(NamedTuple):
    """Line of the journal: which thing, as it was before and as it is after, in a version of the record."""

    thing: str
    number: int
    before: str | None
    after: str | None
    version: int


class TravellingPress(NamedTuple):
    """Press on its way: its row, what it takes back, how it moves instants, its lines."""

    row: Mapping[str, Any]
    takes: tuple[PressName, ...]
    move: tuple[int, int | None, int] | None
    lines: tuple[Line, ...]

    @property
    def name(self) -> PressName:
        """Bench and sequence: what the press is known by everywhere."""
        return self.row["bench_id"], self.row["sequence"]

    @property
    def place(self) -> tuple[int, int, int]:
        """Place of the press in the order of all."""
        return self.row["order_us"], self.row["bench_id"], self.row["sequence"]

    @property
    def version(self) -> int:
        """Newest version of the record that a line of it is of."""
        return max((line.version for line in self.lines), default=0)

    def points(self) -> set[Name]:
        """Return what has to be there before this press: what its lines are about and point at, unless it makes it."""
        found: set[Name] = {("maker", self.row["maker_id"]), ("bench", self.row["bench_id"])}
        for line in self.lines:
            found.add((line.thing, line.number))
            for side in (line.before, line.after):
                thing = from_line(KIND_NAMED[line.thing], side, line.version)
                found.update(pointed_at(thing) if thing is not None else ())
        made = {(line.thing, line.number) for line in self.lines if line.before is None}
        return {(thing, whole_of(number)) for thing, number in found} - made


_PRESSES = f"""SELECT id, {", ".join(COLUMNS)} FROM press WHERE bench_id = ? AND sequence > ?
    ORDER BY sequence LIMIT ?"""  # noqa: S608  # the names are ours
_NEWEST = """WITH RECURSIVE bench (id) AS (
        SELECT min(bench_id) FROM press
        UNION ALL SELECT (SELECT min(bench_id) FROM press WHERE bench_id > bench.id) FROM bench WHERE id IS NOT NULL)
    SELECT id, (SELECT max(sequence) FROM press WHERE bench_id = bench.id) FROM bench WHERE id IS NOT NULL"""
"""One look into the index for each bench, however many presses there are."""
_TAKES = """SELECT bench_id, sequence FROM taken_back JOIN press ON press.id = takes_id WHERE press_id = ?
    ORDER BY bench_id, sequence"""
_MOVE = "SELECT from_us, until_us, by_us FROM clock_move WHERE press_id = ?"
_LINES = "SELECT thing, number, before, after, version FROM journal WHERE press_id = ? ORDER BY id"


def presses_of(connection: sa.Connection, bench_id: int, after: int, limit: int = AT_ONCE) -> Iterator[TravellingPress]:
    """Yield the presses of a bench after one of them, in their order."""
    for number, *values in connection.exec_driver_sql(_PRESSES, (bench_id, after, limit)).all():
        takes = connection.exec_driver_sql(_TAKES, (number,)).all()
        move = connection.exec_driver_sql(_MOVE, (number,)).first()
        lines = connection.exec_driver_sql(_LINES, (number,))
        yield TravellingPress(
            dict(zip(COLUMNS, values, strict=True)),
            tuple((bench, sequence) for bench, sequence in takes),
            None if move is None else (move.from_us, move.until_us, move.by_us),
            tuple(Line(*line) for line in lines),
        )


def heard_of(connection: sa.Connection) -> dict[int, int]:
    """Return the last press of each bench that a record has."""
    return dict(connection.exec_driver_sql(_NEWEST).all())


def others_until_us(connection: sa.Connection, benches: Collection[int]) -> int:
    """Return the instant of the newest press of other benches than these; 0 where there is none."""
    query = "SELECT at_us FROM press WHERE bench_id = ? AND sequence = ?"
    others = ((bench, last) for bench, last in heard_of(connection).items() if bench not in benches)
    return max((connection.exec_driver_sql(query, other).scalar_one() for other in others), default=0)


def newest_of_others(connection: sa.Connection, number_range: int) -> int:
    """Return the number here of the press that came last from a bench with another range; 0 where there is none."""
    query = "SELECT coalesce(max(id), 0) FROM press WHERE bench_id = ? AND sequence = ?"
    others = ((bench, last) for bench, last in heard_of(connection).items() if own_range(bench) != number_range)
    return max((connection.exec_driver_sql(query, other).scalar_one() for other in others), default=0)


def uuid_of(connection: sa.Connection, press: PressName) -> str | None:
    """Return the UUID of a press that a record has."""
    query = "SELECT uuid FROM press WHERE bench_id = ? AND sequence = ?"
    return connection.exec_driver_sql(query, press).scalar_one_or_none()


def insert(connection: sa.Connection, presses: Iterable[TravellingPress]) -> tuple[list[int], bool]:
    """Write presses that a record lacks; returns their numbers here, and whether some have to wait.

    What doesn't follow the last press of its bench waits, as does what points at something that isn't there yet.
    """
    last, known = heard_of(connection), _Known(connection)
    waiting: set[int] = set()
    found = []
    for press in sorted(presses, key=lambda one: one.place):
        bench, sequence = press.name
        if sequence <= last.get(bench, 0):
            continue
        if bench in waiting or sequence != last.get(bench, 0) + 1 or not known.all_of(press):
            waiting.add(bench)
            continue
        last[bench] = sequence
        found.append(_insert(connection, press))
        known.made.update((line.thing, line.number) for line in press.lines)
    return found, bool(waiting)


_INTO_PRESS = f"INSERT INTO press ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"  # noqa: S608  # ours
_NUMBER = "SELECT id FROM press WHERE bench_id = ? AND sequence = ?"


def _insert(connection: sa.Connection, press: TravellingPress) -> int:
    number = int(connection.exec_driver_sql(_INTO_PRESS, tuple(press.row[name] for name in COLUMNS)).lastrowid)
    for taken in press.takes:
        takes_id = connection.exec_driver_sql(_NUMBER, taken).scalar_one()
        connection.exec_driver_sql("INSERT INTO taken_back VALUES (?, ?)", (number, takes_id))
    if press.move is not None:
        connection.exec_driver_sql("INSERT INTO clock_move VALUES (?, ?, ?, ?)", (number, *press.move))
    into = "INSERT INTO journal (press_id, thing, number, before, after, version) VALUES (?, ?, ?, ?, ?, ?)"
    if press.lines:
        connection.exec_driver_sql(into, [(number, *line) for line in press.lines])
    return number


class _Known:
    """Things that have a line in the journal, and presses, so far."""

    def __init__(self, connection: sa.Connection) -> None:
        self._connection = connection
        self.made: set[Name] = set()

    def all_of(self, press: TravellingPress) -> bool:
        """Tell whether all that a press rests on is there."""
        there = all(self._connection.exec_driver_sql(_NUMBER, taken).first() is not None for taken in press.takes)
        return there and all(name in self.made or self._has(name) for name in press.points())

    def _has(self, name: Name) -> bool:
        query = "SELECT 1 FROM journal WHERE thing = ? AND number = ? LIMIT 1"
        if self._connection.exec_driver_sql(query, name).first() is None:
            return False
        self.made.add(name)
        return True


def refuse_newer(presses: Iterable[TravellingPress]) -> None:
    """ShopError where a press was made by a newer version of this program: it can't be read here."""
    if any(press.version > VERSION for press in presses):
        raise ShopError(
            "Another bench has a newer version of this program. Nothing of it was taken, nothing is lost. "
            "This bench goes on alone until it has that version too."
        )
