"""A desk's copy that is brought back: its presses join the shop's as another bench's do; Undo takes them back.

What both sides changed is picked; what can't be as pressed gives way by the shop's rules, which is tried on a copy.
"""

import tempfile
from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import sqlalchemy as sa

from shopclock.record.copies.copying import backup
from shopclock.record.desk.looking import ONE_EACH, DeskEntry, Found
from shopclock.record.file import fold, write
from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.engine import dont_wait_for_disk, writer
from shopclock.record.file.numbers import newest_place
from shopclock.record.file.schema import VERSION, table_name
from shopclock.record.joining.rework import stand_by, take_in
from shopclock.record.press.record import PressRow, Record
from shopclock.record.read.load import read
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import Bench, Checkout, Entity
from shopclock.shop.values.errors import Refusal, ShopError
from shopclock.shop.values.progress import UNWATCHED, Progress

TRYING = "Trying how both go together"
BROUGHT_BACK = "Bring back"
LOOK_AGAIN = "What the desk changed was changed here while both were looked through. Nothing was joined. Look again."
LACKS = "The desk's copy rests on presses that this record lacks: it goes back to an older copy. Nothing was joined."


@dataclass(frozen=True, slots=True)
class BringPlan:
    """Plan of a bringing back: what was found, the places of the entries picked the desk's way, what gives way.

    `gives_way` are things as pressed that stand otherwise, because shop and desk contradict each other.
    """

    found: Found
    to_desk: frozenset[int]
    gives_way: tuple[Entity, ...]


def plan(record: Path, found: Found, to_desk: Collection[int], progress: Progress = UNWATCHED) -> BringPlan:
    """Try on a copy of the record how both go together."""
    picked = frozenset(to_desk)
    with tempfile.TemporaryDirectory(prefix="shopclock-") as folder:
        part = Path(folder) / "tried"
        part.touch()
        backup(record, part, progress)
        progress.at(0, 0, TRYING)
        engine = writer(part)
        dont_wait_for_disk(engine)
        try:
            with engine.begin() as connection:
                before = set(_corrected(connection))
                _join(connection, partial(_row, connection), found, picked)
                after = [one for one in _corrected(connection) if one not in before]
        finally:
            engine.dispose()
    things = (from_line(KIND_NAMED[thing], pressed, VERSION) for thing, _, pressed in after)
    return BringPlan(found, picked, tuple(one for one in things if one is not None and type(one) not in ONE_EACH))


_CORRECTED = "SELECT thing, number, pressed FROM corrected ORDER BY thing, number"


def _corrected(connection: sa.Connection) -> Iterator[tuple[str, int, str | None]]:
    yield from (tuple(row) for row in connection.exec_driver_sql(_CORRECTED).all())


def _row(connection: sa.Connection, called: str, *, undoable: bool) -> write.Row:
    """Return the row of a press on a copy that is thrown away: as the newest one, after all others."""
    newest = connection.exec_driver_sql("SELECT * FROM press ORDER BY id DESC LIMIT 1").mappings().one()
    place = newest_place(connection, newest["bench_id"]).next(newest["at_us"])
    row = {name: value for name, value in newest.items() if name != "id"}
    return (
        row
        | place._asdict()
        | {"uuid": f"{called} {place.sequence}", "what": called, "undoable": int(undoable), "moved_us": 0}
    )


def bring_back(record: Record, planned: BringPlan, moment: Moment | None = None) -> None:
    """Take a desk's presses into an open record; Undo takes them back. Refused where a press since then spoils it."""
    found = planned.found
    rows = sum(len(press.lines) for press in found.presses)
    record.take_desk(BROUGHT_BACK, lambda c, row: _join(c, row, found, planned.to_desk), rows, moment)


def _join(connection: sa.Connection, row: PressRow, found: Found, to_desk: Collection[int]) -> None:
    """Take the presses that a record lacks, let those stand that an Undo took back, and pick."""
    if _touched_since(connection, found):
        raise Refusal(LOOK_AGAIN)
    if not any(bench.uuid == found.bench.uuid for bench in read(connection, Bench)):
        begins = Change(found.handed, replace(found.handed, joined=0))
        _press(connection, row("Taken along", undoable=False), [Change(None, found.bench), begins])
    come, wait = take_in(connection, found.presses)
    if wait or len(come) < len(found.presses):
        raise ShopError(LACKS)
    for undo, own in _undone(connection, found.bench.id):
        _let(connection, row(f"Put back {own}", undoable=False), [undo], fold.taken_by(connection, undo), stands=True)
    for press_id, what in _numbered(connection, found):
        _let(connection, row(f"Undo {what}", undoable=False), [press_id], [press_id], stands=False)
    handed = fold.as_it_stands(connection, table_name(Checkout), found.handed.id)
    if not isinstance(handed, Checkout):
        raise ShopError(LACKS)
    picks = [change for entry, desk in _picked(found, to_desk) for change in entry.pick(connection, to_desk=desk)]
    joined = Change(handed, replace(handed, joined=found.until))
    _press(connection, row(BROUGHT_BACK, undoable=True), [joined, *picks])


def _touched_since(connection: sa.Connection, found: Found) -> bool:
    """Tell whether anything of what was found was pressed since, or a clock was put right."""
    sides = (side for e in (*found.entries, *found.quiet) for side in (e.desk, e.shop, e.was) if side is not None)
    names = {(table_name(type(thing)), thing.id) for thing in (*sides, found.handed)}
    lines = connection.exec_driver_sql("SELECT thing, number FROM journal WHERE press_id > ?", (found.press_id,))
    moved = connection.exec_driver_sql("SELECT 1 FROM clock_move WHERE press_id > ?", (found.press_id,)).first()
    return moved is not None or any(tuple(line) in names for line in lines)


def _picked(found: Found, to_desk: Collection[int]) -> Iterator[tuple[DeskEntry, bool]]:
    yield from ((entry, place in to_desk) for place, entry in enumerate(found.entries))
    yield from ((entry, False) for entry in found.quiet)


def _press(connection: sa.Connection, row: write.Row, changes: list[Change]) -> None:
    """Write an own press; what it changes is made of its lines."""
    press_id = write.write_press(connection, row)
    write.write_lines(connection, press_id, changes)
    stand_by(connection, [press_id])


def _let(connection: sa.Connection, row: write.Row, takes: list[int], presses: list[int], *, stands: bool) -> None:
    """Write an own press that takes back, so that others stand again, or no longer."""
    changes = fold.refolded(connection, presses, stands=stands)
    press_id = write.write_press(connection, row, takes)
    write.write_lines(connection, press_id, changes)
    stand_by(connection, [press_id])


_UNDONE = """SELECT DISTINCT undo.press_id, own.what FROM taken_back AS undo
    JOIN press ON press.id = undo.takes_id AND press.bench_id = ?
    JOIN taken_back AS beside ON beside.press_id = undo.press_id
    JOIN press AS own ON own.id = beside.takes_id AND own.bench_id != press.bench_id AND own.undoable = 1
    WHERE NOT EXISTS (SELECT 1 FROM taken_back AS back WHERE back.takes_id = undo.press_id) ORDER BY 1"""
"""Undos that stand and took a bringing back back, with the desk's presses."""


def _undone(connection: sa.Connection, bench_id: int) -> list[tuple[int, str]]:
    return [(undo, what) for undo, what in connection.exec_driver_sql(_UNDONE, (bench_id,)).all()]


def _numbered(connection: sa.Connection, found: Found) -> Iterator[tuple[int, str]]:
    """Yield the presses that brought in old notes which the shop has, too."""
    query = "SELECT id, what FROM press WHERE bench_id = ? AND sequence = ?"
    yield from (tuple(connection.exec_driver_sql(query, name).one()) for name in found.twice)
