"""Reading the floor: the shop's set-up, the open batches, what ended lately."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from typing import TypeVar

import sqlalchemy as sa

from shopclock.record.codec import from_row
from shopclock.record.schema import COVERED, LABOUR, SHARE, TABLES, table_name
from shopclock.shop.floor import Floor
from shopclock.shop.kinds import Kind
from shopclock.shop.measured import Reading
from shopclock.shop.values import THINGS, Batch, Interval, OrderRule, Piece, RuleBroken, Step, Tally, Thing

T = TypeVar("T", bound=Thing)
OF_BATCHES = (Step, Piece, Interval, Tally, Reading, RuleBroken)
LATELY_US = 36 * 3600 * 1_000_000
AT_ONCE = 500


def load_floor(connection: sa.Connection, newest_us: int) -> Floor:
    """Read the set-up, all batches by name, the open ones whole, and the last day and a half."""
    floor = load_setup(connection)
    load_batches(connection, floor, [batch.id for batch in floor.open_batches()])
    horizon = newest_us - LATELY_US
    running = (i.start_us for i in read(connection, Interval, _c(Interval, "end_us").is_(None)))
    load_since(connection, floor, min(horizon, *running, horizon))
    return floor


def load_setup(connection: sa.Connection) -> Floor:
    """Read the shop's set-up, and all batches by name alone."""
    floor = Floor()
    for kind in THINGS:
        if kind not in OF_BATCHES:
            _put(floor, _read_whole(connection, kind))
    return floor


def load_batches(connection: sa.Connection, floor: Floor, batches: Collection[int]) -> None:
    """Put everything of these batches on the floor, with its derived rows."""
    missing = [number for number in batches if not floor.steps(number)]
    for chunk in _chunks(missing):
        for kind in (Step, Piece, Interval):
            _put(floor, read(connection, kind, _c(kind, "batch_id").in_(chunk)))
        steps = sa.select(_c(Step, "id")).where(_c(Step, "batch_id").in_(chunk))
        for marked in (Tally, Reading, RuleBroken):
            _put(floor, read(connection, marked, _c(marked, "step_id").in_(steps)))
        intervals = sa.select(_c(Interval, "id")).where(_c(Interval, "batch_id").in_(chunk))
        _load_derived(connection, floor, intervals)


def load_alone(connection: sa.Connection, around: Floor, batch_id: int) -> Floor:
    """Return a floor with nothing but one batch and its order rules, which is all that its figures need."""
    floor, batch = Floor(), around.get(Batch, batch_id)
    floor.put(batch)
    _put(floor, (rule for rule in around.all(OrderRule) if rule.route_id == batch.route_id))
    load_batches(connection, floor, [batch_id])
    return floor


def load_since(connection: sa.Connection, floor: Floor, since_us: int) -> None:
    """Put every interval that ended after an instant on the floor, with the batches of each."""
    ended, number = _c(Interval, "end_us"), _c(Interval, "id")
    late = number.in_(sa.select(number).where(sa.or_(ended.is_(None), ended > since_us)))  # so SQLite takes the index
    found = list(read(connection, Interval, late))
    load_batches(connection, floor, {i.batch_id for i in found if i.batch_id is not None})
    _put(floor, [i for i in found if i.batch_id is None])
    _load_derived(connection, floor, sa.select(_c(Interval, "id")).where(late))
    floor.horizon_us = since_us


def bring_since(connection: sa.Connection, floor: Floor, since_us: int) -> None:
    """Put on the floor what ended after an instant, as far back as any of it rests on what came before.

    What runs at the same time shares the hands, and a chain its pieces' minutes: so the instant goes
    back until nothing attended reaches over it and no chain does.
    """
    while (earlier := _rests_on(connection, since_us)) < since_us:
        since_us = earlier
    if since_us < floor.horizon_us:
        load_since(connection, floor, since_us)


def _rests_on(connection: sa.Connection, since_us: int) -> int:
    """Return where the earliest begins of what reaches over an instant, or is gone on from after it."""
    interval = TABLES[Interval]
    before = interval.alias("before")
    late = sa.or_(interval.c.end_us.is_(None), interval.c.end_us > since_us)
    attended = interval.c.kind.in_([kind for kind in Kind if kind.attended])
    reaching = sa.select(sa.func.min(interval.c.start_us)).where(late, attended)
    joined = interval.join(before, before.c.id == interval.c.continues_id)
    chained = sa.select(sa.func.min(before.c.start_us)).select_from(joined).where(late, attended)
    found = [connection.execute(query).scalar_one() for query in (reaching, chained)]
    return int(min([since_us, *(us for us in found if us is not None)]))


def _put(floor: Floor, things: Iterable[Thing]) -> None:
    for thing in things:
        floor.put(thing)


def _c(kind: type[Thing], name: str) -> sa.Column[object]:
    return TABLES[kind].c[name]


def _chunks(numbers: list[int]) -> Iterable[list[int]]:
    return (numbers[i : i + AT_ONCE] for i in range(0, len(numbers), AT_ONCE))


def read(connection: sa.Connection, kind: type[T], where: sa.ColumnElement[bool] | None = None) -> Iterable[T]:
    """Read things of a kind in the order of their numbers."""
    table = TABLES[kind]
    query = sa.select(table).order_by(table.c.id)
    if where is not None:
        query = query.where(where)
    rows = connection.execute(query).mappings().all()
    pieces = _read_pieces(connection, kind, where)
    return [from_row(kind, dict(row), tuple(pieces.get(row["id"], ()))) for row in rows]


def _read_whole(connection: sa.Connection, kind: type[T]) -> Iterable[T]:
    """Read all things of a kind, in plain SQL: to make it of a table costs a start more than to read it."""
    query = f"SELECT * FROM {table_name(kind)} ORDER BY id"  # noqa: S608  # the names are ours
    return [from_row(kind, dict(row)) for row in connection.exec_driver_sql(query).mappings()]


def _read_pieces(
    connection: sa.Connection, kind: type[Thing], where: sa.ColumnElement[bool] | None
) -> dict[int, list[int]]:
    """Read which pieces things are about, by mark."""
    found: dict[int, list[int]] = defaultdict(list)
    if kind not in COVERED:
        return found
    table, piece = COVERED[kind], TABLES[Piece]
    owner = table.c[f"{table_name(kind)}_id"]
    query = (
        sa.select(owner, table.c.piece_id)
        .join(piece, piece.c.id == table.c.piece_id)
        .order_by(owner, piece.c.position, piece.c.id)
    )
    if where is not None:
        query = query.where(owner.in_(sa.select(TABLES[kind].c.id).where(where)))
    for number, piece_id in connection.execute(query):
        found[number].append(piece_id)
    return found


def _load_derived(connection: sa.Connection, floor: Floor, intervals: sa.Select[object]) -> None:
    wanted = LABOUR.c.interval_id.in_(intervals)
    for number, us in connection.execute(sa.select(LABOUR).where(wanted)):
        floor.labour[number] = us
    query = (
        sa.select(SHARE.c.interval_id, SHARE.c.piece_id, SHARE.c.us)
        .join(TABLES[Piece], TABLES[Piece].c.id == SHARE.c.piece_id)
        .where(SHARE.c.interval_id.in_(intervals))
        .order_by(SHARE.c.interval_id, TABLES[Piece].c.position)
    )
    shares: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for number, piece, us in connection.execute(query):
        shares[number].append((piece, us))
    floor.shares.update({number: tuple(share) for number, share in shares.items()})
