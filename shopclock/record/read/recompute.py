"""Working out every derived row anew, a few hundred intervals in memory at a time."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

import sqlalchemy as sa

from shopclock.record.file.schema import TABLES
from shopclock.record.read.load import all_that, load_batches, load_setup, read
from shopclock.shop.figures.derive import Derived, derive
from shopclock.shop.figures.trend_rows import TrendRow, rows_of_batch
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.values.entities import Batch, ImportRow, Interval, Leaving, Note, Piece, Reading, Step, Tally
from shopclock.shop.values.kinds import Kind

AT_ONCE = 128
_ATTENDED = [str(kind) for kind in Kind if kind.attended]


def recompute_derived(
    connection: sa.Connection, groups: Iterable[list[int]] | None = None
) -> Iterator[tuple[list[int], Derived]]:
    """Yield labour and shares of all intervals, or of groups that bear on each other, with the numbers of each some."""
    for some in _together(_groups(_spans(connection)) if groups is None else groups):
        yield some, derive(_floor_of(connection, some), some)


def beside(connection: sa.Connection, first: int, last: int) -> list[list[int]]:
    """Return the other intervals that those from a first to a last number bear on, in groups."""
    since_us = connection.exec_driver_sql(_NEAR, {"first": first, "last": last}).scalar_one_or_none()
    if since_us is None:
        return []
    groups = _groups(_spans(connection, all_that(connection, since_us)))
    others = ([number for number in group if not first <= number <= last] for group in groups)
    return [other for group, other in zip(groups, others, strict=True) if 0 < len(other) < len(group)]


def together_with(connection: sa.Connection, first: int, last: int) -> list[list[int]]:
    """Return the groups of intervals that those from a first to a last number are in."""
    query = "SELECT min(start_us) FROM interval WHERE id BETWEEN ? AND ?"
    since_us = connection.exec_driver_sql(query, (first, last)).scalar_one()
    if since_us is None:
        return []
    groups = _groups(_spans(connection, all_that(connection, since_us - 1)))
    return [group for group in groups if any(first <= number <= last for number in group)]


def groups_bearing(connection: sa.Connection, stretches: Collection[Interval]) -> list[list[int]]:
    """Return the groups of intervals that some stretches are in, or shared hands with as they were."""
    if not stretches:
        return []
    numbers, since_us = {i.id for i in stretches}, min(i.start_us for i in stretches)
    until: dict[int, list[Interval]] = defaultdict(list)
    for interval in stretches:
        until[interval.maker_id].append(interval)
    spans = _spans(connection, all_that(connection, since_us - 1))
    near = {span.id for span in spans if any(_shares(span, own) for own in until[span.maker_id])}
    wanted = numbers | near
    return [group for group in _groups(spans) if not wanted.isdisjoint(group)]


def _shares(span: "_Span", interval: Interval) -> bool:
    beyond = float("inf") if interval.end_us is None else interval.end_us
    return span.start_us <= beyond and span.end_us >= interval.start_us


_NEAR = """WITH own AS (SELECT * FROM interval WHERE id BETWEEN :first AND :last),
    span AS (SELECT min(start_us) AS since_us, max(end_us) AS until_us FROM own)
    SELECT min(start_us, since_us) FROM interval, span WHERE id NOT BETWEEN :first AND :last AND (
        (start_us < until_us AND coalesce(end_us, until_us) > since_us)
        OR continues_id BETWEEN :first AND :last OR id IN (SELECT continues_id FROM own)
    ) ORDER BY start_us LIMIT 1"""
"""Where the first begins of some intervals and of those that may bear on them; no row where nothing does."""


def running_labour(connection: sa.Connection, now_us: int) -> Iterator[tuple[int, int]]:
    """Yield, for each interval that still runs, its maker and the labour that it got until now."""
    spans = _spans(connection)
    running = {span.id: span.maker_id for span in spans if span.attended and span.end_us == float("inf")}
    for group in _groups(spans):
        if mine := [number for number in group if number in running]:
            found = derive(_floor_of(connection, group), mine, now_us)
            yield from ((running[number], us) for number, us in found.labour.items())


def recompute_trend_rows(
    connection: sa.Connection, batches: Collection[int] | None = None
) -> Iterator[tuple[int, tuple[TrendRow, ...]]]:
    """Yield the stage rows of each closed batch, of all or of these, worked out from its labour and shares as kept."""
    floor = load_setup(connection)
    for batch in list(floor.all(Batch)):
        if batch.closed_us is not None and (batches is None or batch.id in batches):
            load_batches(connection, floor, [batch.id])
            yield batch.id, rows_of_batch(floor, batch.id, batch.closed_us)
            _put_back(floor, batch.id)


def _put_back(floor: ShopFloor, batch_id: int) -> None:
    """Take a batch off the floor again, so that memory doesn't grow with the record."""
    for interval in floor.of_batch(Interval, batch_id):
        floor.labour.pop(interval.id, None)
        floor.shares.pop(interval.id, None)
    for kind in (Tally, Leaving, Reading, Interval, Piece, Step):
        for thing in floor.of_batch(kind, batch_id):
            floor.drop(thing)
    for told in (ImportRow, Note):
        for thing in floor.all(told):
            floor.drop(thing)


@dataclass(slots=True)
class _Span:
    """Span in which an interval needs hands, if it does, and what it continues."""

    id: int
    maker_id: int
    start_us: int
    end_us: float
    continues_id: int | None
    attended: bool


def _spans(connection: sa.Connection, since_us: int | None = None) -> list[_Span]:
    """Return what needs hands, and what goes on from it or before it: a piece done there tells whose minutes these are.

    That can be a wait: whoever stays by it can be amended. With an instant given, only what ended after it.
    """
    table = TABLES[Interval]
    columns = (table.c[name] for name in ("id", "maker_id", "start_us", "end_us", "continues_id", "kind"))
    attended, goes_on = table.c.kind.in_(_ATTENDED), table.c.continues_id
    begun = table.c.id.in_(sa.select(goes_on).where(goes_on.is_not(None)))
    wanted = sa.or_(attended, goes_on.is_not(None), begun)
    if since_us is not None:
        wanted = sa.and_(wanted, sa.or_(table.c.end_us.is_(None), table.c.end_us > since_us))
    query = sa.select(*columns).where(wanted).order_by(table.c.start_us, table.c.id)
    return [
        _Span(
            row.id,
            row.maker_id,
            row.start_us,
            float("inf") if row.end_us is None else row.end_us,
            row.continues_id,
            row.kind in _ATTENDED,
        )
        for row in connection.execute(query)
    ]


def _groups(spans: Iterable[_Span]) -> list[list[int]]:
    """Group intervals that bear on each other: they share an instant of one maker, or a chain."""
    joined = _Joined()
    running: dict[int, list[_Span]] = defaultdict(list)
    for span in spans:
        joined.join(span.id, span.id)
        if span.continues_id is not None:
            joined.join(span.continues_id, span.id)
        if not span.attended:
            continue
        running[span.maker_id] = [other for other in running[span.maker_id] if other.end_us > span.start_us]
        for other in running[span.maker_id]:
            joined.join(other.id, span.id)
        running[span.maker_id].append(span)
    return joined.groups()


class _Joined:
    """Numbers joined into groups."""

    def __init__(self) -> None:
        self._head: dict[int, int] = {}

    def join(self, one: int, other: int) -> None:
        """Put two numbers into one group."""
        self._head[self._of(other)] = self._of(one)

    def _of(self, number: int) -> int:
        head = self._head.setdefault(number, number)
        while head != self._head[head]:
            head = self._head[head]
        self._head[number] = head
        return head

    def groups(self) -> list[list[int]]:
        """Return the groups, in the order in which each began."""
        found: dict[int, list[int]] = defaultdict(list)
        for number in self._head:
            found[self._of(number)].append(number)
        return list(found.values())


def _together(groups: Iterable[list[int]]) -> Iterator[list[int]]:
    """Put small groups together, so that few readings of the disk do."""
    some: list[int] = []
    for group in groups:
        some += group
        if len(some) >= AT_ONCE:
            yield some
            some = []
    if some:
        yield some


def _floor_of(connection: sa.Connection, numbers: Sequence[int]) -> ShopFloor:
    """Set a floor with these intervals, and of the rest only what their labour and shares need."""
    floor = ShopFloor()
    intervals = list(read(connection, Interval, "id IN :numbers", numbers=numbers))
    steps = {i.step_id for i in intervals if i.step_id is not None}
    pieces = {piece for i in intervals for piece in i.pieces}
    for kind, wanted in ((Step, steps), (Piece, pieces)):
        for thing in read(connection, kind, "id IN :wanted", wanted=wanted):
            floor.put(thing)
    for thing in intervals:
        floor.put(thing)
    for marked in (Tally, Leaving):
        for mark in read(connection, marked, "interval_id IN :numbers", numbers=numbers):
            floor.put(mark)
    return floor
