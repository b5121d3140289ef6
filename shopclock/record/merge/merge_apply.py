"""Joining what a desk's copy says with the shop's record: tried on a copy, then one press that Undo takes back."""

import tempfile
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

import sqlalchemy as sa

from shopclock.record.check.check import sense
from shopclock.record.copies.copying import backup
from shopclock.record.file import write
from shopclock.record.file.engine import connect_reader, dont_wait_for_disk, writer
from shopclock.record.file.numbers import NextNumbers
from shopclock.record.file.schema import table_name
from shopclock.record.merge.merge_compare import Found, MergeEntry, Number, renumbered
from shopclock.record.press.record import Record
from shopclock.shop.state.transaction import Change, Transaction
from shopclock.shop.values.clock import Moment
from shopclock.shop.values.entities import ENTITIES, Entity
from shopclock.shop.values.errors import Refusal
from shopclock.shop.values.progress import UNWATCHED, Progress

TRYING = "Trying how both go together"
BROUGHT_BACK = "Bring back"
ONCE = {
    "setting": "name", "word": "name", "piece": "batch_id, mark", "tally": "step_id, piece_id",
    "order_piece": "piece_id", "scales": "number", "asked_price": "pattern_id", "stage": "lower(name)",
    "method": "stage_id, lower(name)", "pattern": "lower(name)", "route": "pattern_id, version",
    "batch": "name", "import_file": "sha256", "made_before": "stage_id, method_id, maker_id", "reason": "lower(name)",
}  # fmt: skip
"""What there may be one of alone, in each table."""


@dataclass(frozen=True, slots=True)
class MergePlan:
    """Plan of a merge: what is taken of a desk's copy, what only the journal keeps; `unfit` don't go together.

    The changes point at things of the desk by numbers below nothing.
    """

    found: Found
    taken: tuple[Change, ...]
    kept: tuple[Change, ...]
    unfit: tuple[MergeEntry, ...]


def plan_merge(record: Path, found: Found, to_desk: Collection[int], progress: Progress = UNWATCHED) -> MergePlan:
    """Try on a copy of the record what goes together; `to_desk` are the places of the entries picked the desk's way.

    Where all of it does not, each group of entries that would leave the record unsound stays out.
    """
    with tempfile.TemporaryDirectory(prefix="shopclock-") as folder:
        part = Path(folder) / "tried"
        part.touch()
        backup(record, part, progress)
        with closing(_Trial(part, found, to_desk, progress)) as trial:
            out = trial.unfit()
    picked = [(place in to_desk, entry) for place, entry in enumerate(found.entries)]
    fit = [(entry, entry.change(to_desk=desk)) for desk, entry in picked if entry.group not in out]
    kept = [entry.not_taken() for desk, entry in picked if entry.group in out or (entry.both and not desk)]
    return MergePlan(
        found,
        tuple(change for _, change in fit if change is not None),
        tuple(change for change in kept if change is not None),
        tuple(entry for entry in found.entries if entry.group in out),
    )


class _Trial:
    """A copy of the record on which groups of entries are tried."""

    def __init__(self, part: Path, found: Found, to_desk: Collection[int], progress: Progress) -> None:
        self._engine = writer(part)
        dont_wait_for_disk(self._engine)
        self._connection = self._engine.connect()
        self._progress = progress
        self._groups: dict[int, list[Change]] = {}
        for place, entry in enumerate(found.entries):
            change = entry.change(to_desk=place in to_desk)
            self._groups.setdefault(entry.group, []).extend([change] if change is not None else [])
        with self._connection.begin():
            write.forget_all_derived(self._connection)
            give = NextNumbers(self._connection).next
            self._numbers = new_numbers((c for some in self._groups.values() for c in some), give)
            self._before = self._faults()

    def unfit(self) -> set[int]:
        """Return the groups that can't be taken beside the others."""
        with self._connection.begin():
            self._raw("PRAGMA defer_foreign_keys = ON")
            return set(self._out(sorted(self._groups)))

    def _out(self, groups: Sequence[int]) -> Iterator[int]:
        """Take all of these, or each half of them, and so on down to the one that is at fault."""
        self._progress.at(0, 0, TRYING)
        self._raw("SAVEPOINT tried")
        changes = [change for group in groups for change in self._groups[group]]
        if self._goes(changes):
            self._raw("RELEASE tried")
            return
        self._raw("ROLLBACK TO tried")
        self._raw("RELEASE tried")
        if len(groups) == 1:
            yield from groups
        else:
            half = len(groups) // 2
            yield from self._out(groups[:half])
            yield from self._out(groups[half:])

    def _goes(self, changes: Sequence[Change]) -> bool:
        try:
            write.rewrite_things(self._connection, in_order(changes, self._numbers))
        except sa.exc.IntegrityError:
            return False
        return self._faults() <= self._before

    def _faults(self) -> frozenset[str]:
        return frozenset(faults(self._connection))

    def _raw(self, statement: str) -> None:
        self._connection.exec_driver_sql(statement)

    def close(self) -> None:
        self._connection.close()
        self._engine.dispose()


def faults(connection: sa.Connection) -> Iterator[str]:
    """Yield what is wrong with what a record holds, worked-out rows aside."""
    for row in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        yield f"{row[0]} {row[1]} points at no {row[2]}"
    for table, columns in ONCE.items():
        query = f"SELECT {columns} FROM {table} GROUP BY {columns} HAVING count(*) > 1"  # noqa: S608  # the names are ours
        yield from (f"{table} {tuple(row)} twice" for row in connection.exec_driver_sql(query))
    yield from sense(connection)


def new_numbers(changes: Iterable[Change], give: Callable[[type[Entity]], int]) -> dict[Number, int]:
    """Return a number of this record for each thing that the desk made."""
    made = (c.thing for c in changes if c.before is None and c.thing.id < 0)
    return {(table_name(type(thing)), thing.id): give(type(thing)) for thing in made}


def in_order(changes: Iterable[Change], numbers: Mapping[Number, int]) -> list[Change]:
    """Return changes with the numbers of this record: what is gone first, then parents before what points at them."""
    place = {kind: n for n, kind in enumerate(ENTITIES)}
    here = [Change(_here(change.before, numbers), _here(change.after, numbers)) for change in changes]
    gone = [change for change in here if change.after is None]
    rest = [change for change in here if change.after is not None]
    gone.sort(key=lambda change: -place[type(change.thing)])
    rest.sort(key=lambda change: place[type(change.thing)])
    return [*gone, *rest]


def _here(thing: Entity | None, numbers: Mapping[Number, int]) -> Entity | None:
    return renumbered(thing, numbers) if thing is not None else None


def merge(record: Record, planned: MergePlan, moment: Moment | None = None) -> None:
    """Take a plan into an open record, as one press. Refused where the record was pressed since it was made."""
    found = planned.found
    record.bring_in([*planned.taken, *planned.kept])

    def rule(tx: Transaction) -> None:
        if _newest_press(record.path) != found.press_id:
            raise Refusal("The record was changed while both were looked through. Nothing was joined. Look again.")
        numbers = new_numbers([*planned.taken, *planned.kept], tx.number)
        for change in in_order(planned.taken, numbers):
            tx.take(change)
        tx.not_taken.extend(in_order(planned.kept, numbers))
        tx.change(replace(tx.current(found.handed), joined=found.until))

    record.press(BROUGHT_BACK, rule, moment)


def _newest_press(path: Path) -> int:
    with closing(connect_reader(path)) as connection:
        return int(connection.execute("SELECT max(id) FROM press").fetchone()[0])
