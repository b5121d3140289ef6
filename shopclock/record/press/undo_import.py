"""Undo and Put back of old notes, in set operations: thing by thing it would keep the window waiting."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

import sqlalchemy as sa

from shopclock.record.file import fold, write
from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.schema import JOURNAL, table_name
from shopclock.record.file.undo import changes_of
from shopclock.record.file.write import Ranges
from shopclock.record.read.load import bring_taken, chunks, read, renew
from shopclock.record.read.recompute import beside, recompute_derived, recompute_trend_rows, together_with
from shopclock.shop.figures.derive import Derived
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import ENTITIES, Batch, Entity, ImportFile, Interval
from shopclock.shop.values.progress import Progress

AT_ONCE = 2_000
"""Things that are read and written at a time."""


@dataclass(frozen=True, slots=True)
class TakenBack:
    """Import taken back at once: the numbers of what is gone, what else changed, labour and shares beside."""

    gone: Ranges
    changes: tuple[Change, ...]
    derived: Derived

    def show(self, _connection: sa.Connection, floor: ShopFloor, _now_us: int) -> None:
        """Have it on the floor too."""
        for kind in reversed(ENTITIES):
            first, last = self.gone.get(table_name(kind), (1, 0))
            for thing in floor.all(kind) if first <= last else ():
                if first <= thing.id <= last:
                    floor.drop(thing)
                    if kind is Interval:
                        floor.labour.pop(thing.id, None)
                        floor.shares.pop(thing.id, None)
        renew(floor, self.changes, self.derived)


@dataclass(frozen=True, slots=True)
class GivenBack:
    """Import put back at once: the numbers of what is there again, what else changed, labour and shares, batches."""

    made: Ranges
    changes: tuple[Change, ...]
    derived: Derived
    batches: tuple[int, ...]

    def show(self, connection: sa.Connection, floor: ShopFloor, now_us: int) -> None:
        """Have it on the floor too, as far as it belongs there."""
        renew(floor, self.changes, self.derived)
        bring_taken(connection, floor, self.made, self.batches, now_us)


def lines_at_once(connection: sa.Connection, press_id: int) -> int:
    """Return how many lines the press has if old notes came in with it and nothing went: it is let go, or be, at once.

    0 for every other press, and where a clock was put right since.
    """
    new = sa.and_(JOURNAL.c.thing == table_name(ImportFile), JOURNAL.c.before.is_(None))
    counts = (sa.func.count(), sa.func.total(new), sa.func.total(JOURNAL.c.after.is_(None)))
    lines, files, gone = connection.execute(sa.select(*counts).where(JOURNAL.c.press_id == press_id)).one()
    moved = any(move.stands and move.place.id > press_id for move in fold.moves_of(connection)) if files else False
    return int(lines) if files and not gone and not moved else 0


def take_back(connection: sa.Connection, press_id: int, undo_id: int, progress: Progress) -> TakenBack:
    """Take a press back at once, all that it made and all that it changed, in a press that is written already.

    What it made has numbers that follow each other: none of them was given by another press.
    """
    gone = _made(connection, press_id)
    changes = _edits(connection, press_id)[::-1]
    groups = beside(connection, *gone.get("interval", (1, 0)))
    others = {number for group in groups for number in group}
    batches = _batches(connection, gone, changes, others)
    write.remove(connection, gone, progress)
    write.rewrite_things(connection, changes)
    write.write_lines(connection, undo_id, changes)
    connection.exec_driver_sql(_TURNED, (undo_id, press_id))
    derived = _written(connection, groups, batches)
    return TakenBack(gone, changes, derived)


def give_back(connection: sa.Connection, press_id: int, back_id: int, progress: Progress) -> GivenBack:
    """Put back at once what `take_back` took, in a press that is written already."""
    made = _made(connection, press_id)
    changes = _edits(connection, press_id)
    for done, some in enumerate(_things_made(connection, press_id)):
        progress.at(done * AT_ONCE, 0, "")
        write.insert_things(connection, some)
    write.rewrite_things(connection, changes)
    connection.exec_driver_sql(_AGAIN, (back_id, press_id))
    write.write_lines(connection, back_id, changes)
    groups = together_with(connection, *made.get("interval", (1, 0)))
    batches = _batches(connection, made, changes, {number for group in groups for number in group}, made=True)
    derived = _written(connection, groups, batches)
    return GivenBack(made, changes, derived, tuple(sorted(batches)))


def _made(connection: sa.Connection, press_id: int) -> Ranges:
    made = sa.select(JOURNAL.c.thing, sa.func.min(JOURNAL.c.number), sa.func.max(JOURNAL.c.number))
    where = (JOURNAL.c.press_id == press_id, JOURNAL.c.before.is_(None))
    return {of: (first, last) for of, first, last in connection.execute(made.where(*where).group_by(JOURNAL.c.thing))}


def _edits(connection: sa.Connection, press_id: int) -> tuple[Change, ...]:
    """Return how a press that takes back, written already, changes what was there before the import."""
    edited = [(type(c.thing), c.thing.id) for c in changes_of(connection, press_id, JOURNAL.c.before.is_not(None))]
    found = []
    for kind, number in edited:
        now = next(iter(read(connection, kind, "id = :number", number=number)), None)
        then = fold.as_it_stands(connection, table_name(kind), number)
        if now != then:
            found.append(Change(now, then))
    return tuple(found)


def _things_made(connection: sa.Connection, press_id: int) -> Iterator[list[Entity]]:
    """Yield the things that a press made, some of a kind at a time."""
    query = (
        sa.select(JOURNAL.c.thing, JOURNAL.c.after, JOURNAL.c.version)
        .where(JOURNAL.c.press_id == press_id, JOURNAL.c.before.is_(None))
        .order_by(JOURNAL.c.id)
    )
    for some in connection.execute(query, execution_options={"yield_per": AT_ONCE}).partitions():
        for thing, lines in groupby(some, key=lambda line: str(line.thing)):
            things = (from_line(KIND_NAMED[thing], line.after, line.version) for line in lines)
            yield [one for one in things if one is not None]


def _written(connection: sa.Connection, groups: Iterable[list[int]], batches: Collection[int]) -> Derived:
    """Write labour and shares of these groups anew, and the rows of these batches; return labour and shares."""
    groups, derived = list(groups), Derived()
    for _, some in recompute_derived(connection, groups):
        derived.update(some)
    write.forget_derived(connection, (number for group in groups for number in group))
    write.write_derived(connection, derived)
    write.write_stage_rows(connection, dict.fromkeys(batches, ()) | dict(recompute_trend_rows(connection, batches)))
    return derived


def _batches(
    connection: sa.Connection,
    gone: Ranges,
    changes: Iterable[Change],
    intervals: Collection[int],
    *,
    made: bool = False,
) -> set[int]:
    """Return the batches whose figures change with what goes or was made, with what else changes, and with intervals.

    Those that were made are among them, those that go are not.
    """
    found = {number for change in changes if (number := getattr(change.after, "batch_id", None)) is not None}
    found |= {change.after.id for change in changes if isinstance(change.after, Batch)}
    for of, query in _BATCHES_OF.items():
        found |= set(connection.exec_driver_sql(query, gone.get(of, (1, 0))).scalars())
    for some in chunks(sorted(intervals)):
        found |= {i.batch_id for i in read(connection, Interval, "id IN :some", some=some) if i.batch_id is not None}
    first, last = gone.get("batch", (1, 0))
    own = set(range(first, last + 1))
    return found | own if made else found - own


_BATCHES_OF = {
    "interval": "SELECT DISTINCT batch_id FROM interval WHERE id BETWEEN ? AND ? AND batch_id IS NOT NULL",
    "piece": "SELECT DISTINCT batch_id FROM piece WHERE id BETWEEN ? AND ?",
    "step": "SELECT DISTINCT batch_id FROM step WHERE id BETWEEN ? AND ?",
    "tally": "SELECT DISTINCT batch_id FROM tally JOIN step ON step.id = step_id WHERE tally.id BETWEEN ? AND ?",
}
_TURNED = """INSERT INTO journal (press_id, thing, number, before, after, version)
    SELECT ?, thing, number, after, NULL, version FROM journal WHERE press_id = ? AND before IS NULL ORDER BY id DESC"""
_AGAIN = """INSERT INTO journal (press_id, thing, number, before, after, version)
    SELECT ?, thing, number, NULL, after, version FROM journal WHERE press_id = ? AND before IS NULL ORDER BY id"""
