"""Undo of old notes, in set operations: thing by thing it would keep the window waiting."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

import sqlalchemy as sa

from shopclock.record.file import write
from shopclock.record.file.schema import JOURNAL, table_name
from shopclock.record.file.undo import changes_of
from shopclock.record.file.write import Ranges
from shopclock.record.read.load import chunks, read, renew
from shopclock.record.read.recompute import beside, recompute_derived, recompute_trend_rows
from shopclock.shop.figures.derive import Derived
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import ENTITIES, Batch, ImportFile, Interval
from shopclock.shop.values.progress import Progress


@dataclass(frozen=True, slots=True)
class TakenBack:
    """Import taken back at once: the numbers of what is gone, what is as it was before, labour and shares beside."""

    gone: Ranges
    changes: tuple[Change, ...]
    derived: Derived

    def show(self, floor: ShopFloor) -> None:
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


def lines_at_once(connection: sa.Connection, press_id: int) -> int:
    """Return how many lines the press has if old notes came in with it and nothing went: it can be taken back at once.

    0 for every other press.
    """
    new = sa.and_(JOURNAL.c.thing == table_name(ImportFile), JOURNAL.c.before.is_(None))
    counts = (sa.func.count(), sa.func.total(new), sa.func.total(JOURNAL.c.after.is_(None)))
    lines, files, gone = connection.execute(sa.select(*counts).where(JOURNAL.c.press_id == press_id)).one()
    return int(lines) if files and not gone else 0


def take_back(connection: sa.Connection, press_id: int, undo_id: int, progress: Progress) -> TakenBack:
    """Take a press back at once, all that it made and all that it changed, in a press that is written already.

    What it made has numbers that follow each other: none of them was given by another press.
    """
    made = sa.select(JOURNAL.c.thing, sa.func.min(JOURNAL.c.number), sa.func.max(JOURNAL.c.number))
    where = (JOURNAL.c.press_id == press_id, JOURNAL.c.before.is_(None))
    gone = {of: (first, last) for of, first, last in connection.execute(made.where(*where).group_by(JOURNAL.c.thing))}
    edits = reversed(list(changes_of(connection, press_id, JOURNAL.c.before.is_not(None))))
    changes = tuple(Change(edit.after, edit.before) for edit in edits)
    groups = beside(connection, *gone.get("interval", (1, 0)))
    others = {number for group in groups for number in group}
    batches = _batches(connection, gone, changes, others)
    write.remove(connection, gone, progress)
    write.rewrite_things(connection, changes)
    connection.exec_driver_sql(_TURNED, (undo_id, press_id))
    derived = Derived()
    for _, some in recompute_derived(connection, groups):
        derived.update(some)
    write.forget_derived(connection, others)
    write.write_derived(connection, derived)
    write.write_stage_rows(connection, dict.fromkeys(batches, ()) | dict(recompute_trend_rows(connection, batches)))
    return TakenBack(gone, changes, derived)


def _batches(
    connection: sa.Connection, gone: Ranges, changes: Iterable[Change], intervals: Collection[int]
) -> set[int]:
    """Return the batches whose figures change with what goes, with what is as it was before, and with intervals."""
    found = {number for change in changes if (number := getattr(change.after, "batch_id", None)) is not None}
    found |= {change.after.id for change in changes if isinstance(change.after, Batch)}
    for of, query in _BATCHES_OF.items():
        found |= set(connection.exec_driver_sql(query, gone.get(of, (1, 0))).scalars())
    for some in chunks(sorted(intervals)):
        found |= {i.batch_id for i in read(connection, Interval, "id IN :some", some=some) if i.batch_id is not None}
    first, last = gone.get("batch", (1, 0))
    return {number for number in found if not first <= number <= last}


_BATCHES_OF = {
    "interval": "SELECT DISTINCT batch_id FROM interval WHERE id BETWEEN ? AND ? AND batch_id IS NOT NULL",
    "piece": "SELECT DISTINCT batch_id FROM piece WHERE id BETWEEN ? AND ?",
    "step": "SELECT DISTINCT batch_id FROM step WHERE id BETWEEN ? AND ?",
    "tally": "SELECT DISTINCT batch_id FROM tally JOIN step ON step.id = step_id WHERE tally.id BETWEEN ? AND ?",
}
_TURNED = """INSERT INTO journal (press_id, thing, number, before, after, version)
    SELECT ?, thing, number, after, before, version FROM journal WHERE press_id = ? ORDER BY id DESC"""
