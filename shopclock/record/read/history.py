"""History of changes, press by press, newest first: of one batch, or of one day."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line
from shopclock.record.file.schema import JOURNAL, PRESS, TABLES, TAKEN_BACK
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import Interval, Step

A_PAGE = 30


@dataclass(frozen=True, slots=True)
class HistoryRow:
    """One press: when, what it was called and why it was made, whether it was taken back since, and what it changed.

    `shop.told.told` says the changes in plain words.
    """

    press_id: int
    at_us: int
    what: str
    reason: str
    taken_back: bool
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class OfBatch:
    """The history of one batch: itself, its steps, pieces, stretches of work and marks."""

    batch_id: int

    def where(self) -> sa.ColumnElement[bool]:
        """Choose its lines of the journal."""
        steps = sa.select(TABLES[Step].c.id).where(TABLES[Step].c.batch_id == self.batch_id)
        own = sa.or_(*(side("batch_id") == self.batch_id for side in _SIDES))
        marked = sa.or_(*(side("step_id").in_(steps) for side in _SIDES))
        return sa.or_(
            sa.and_(JOURNAL.c.thing.in_(("interval", "piece", "step")), own),
            sa.and_(JOURNAL.c.thing == "tally", marked),
            sa.and_(JOURNAL.c.thing == "batch", JOURNAL.c.number == self.batch_id),
        )


@dataclass(frozen=True, slots=True)
class OfTime:
    """The history of what lay, before or after a change, between two instants."""

    start_us: int
    end_us: int

    def where(self) -> sa.ColumnElement[bool]:
        """Choose its lines of the journal."""
        late = sa.or_(*(self._touches(side) for side in _SIDES))
        marked = sa.or_(*(side("at_us").between(self.start_us, self.end_us - 1) for side in _SIDES))
        return sa.or_(sa.and_(JOURNAL.c.thing == "interval", late), sa.and_(JOURNAL.c.thing == "tally", marked))

    def _touches(self, side: "_Side") -> sa.ColumnElement[bool]:
        """Running intervals count where they began: only their end tells how far they went."""
        end_us = sa.func.coalesce(side("end_us"), side("start_us") + 1)
        return sa.and_(side("start_us") < self.end_us, end_us > self.start_us)


class _Side:
    """A thing as a journal's line has it before, or after: its fields by name."""

    def __init__(self, column: sa.Column[str]) -> None:
        self._column = column

    def __call__(self, field: str) -> sa.ColumnElement[int]:
        return sa.func.json_extract(self._column, f"$.{field}")


_SIDES = (_Side(JOURNAL.c.before), _Side(JOURNAL.c.after))


def history(
    connection: sa.Connection, about: OfBatch | OfTime, before_press: int | None = None, n: int = A_PAGE
) -> tuple[HistoryRow, ...]:
    """Return the newest presses that changed what this is about, before a press where one is given."""
    where = about.where()
    query = sa.select(JOURNAL.c.press_id).distinct().where(where).order_by(JOURNAL.c.press_id.desc()).limit(n)
    if before_press is not None:
        query = query.where(JOURNAL.c.press_id < before_press)
    numbers = connection.execute(query).scalars().all()
    changes = _changes(connection, numbers, where)
    undone = sa.select(TAKEN_BACK.c.takes_id).where(TAKEN_BACK.c.takes_id.in_(numbers))
    taken_back = set(connection.execute(undone).scalars())
    presses = sa.select(PRESS.c.id, PRESS.c.at_us, PRESS.c.what, PRESS.c.reason).where(PRESS.c.id.in_(numbers))
    return tuple(
        HistoryRow(row.id, row.at_us, row.what, row.reason, row.id in taken_back, tuple(changes[row.id]))
        for row in connection.execute(presses.order_by(PRESS.c.id.desc()))
    )


def _changes(
    connection: sa.Connection, presses: Sequence[int], where: sa.ColumnElement[bool]
) -> dict[int, list[Change]]:
    found: dict[int, list[Change]] = defaultdict(list)
    query = (
        sa.select(JOURNAL.c.press_id, JOURNAL.c.thing, JOURNAL.c.before, JOURNAL.c.after, JOURNAL.c.version)
        .where(JOURNAL.c.press_id.in_(presses), where)
        .order_by(JOURNAL.c.id)
    )
    for press_id, thing, before, after, version in connection.execute(query):
        kind = KIND_NAMED[thing]
        found[press_id].append(Change(from_line(kind, before, version), from_line(kind, after, version)))
    return found


def worked_before(connection: sa.Connection, at_us: int) -> int | None:
    """Return the start of the last stretch of work that began before an instant, or nothing."""
    start = TABLES[Interval].c.start_us
    found: int | None = connection.execute(sa.select(sa.func.max(start)).where(start < at_us)).scalar_one()
    return found


def worked_after(connection: sa.Connection, at_us: int) -> int | None:
    """Return the start of the first stretch of work that began at an instant or after it, or nothing."""
    start = TABLES[Interval].c.start_us
    found: int | None = connection.execute(sa.select(sa.func.min(start)).where(start >= at_us)).scalar_one()
    return found
