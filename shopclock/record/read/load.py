"""Reading the floor: the shop's set-up, the open batches, what ended lately.

In plain SQL: making the queries of tables would cost a start far more than running them.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from typing import Any, TypeVar

import sqlalchemy as sa

from shopclock.record.file.closed import batches_of
from shopclock.record.file.codec import from_row, zone_of
from shopclock.record.file.schema import COVERED, table_name
from shopclock.record.file.write import Ranges
from shopclock.shop.figures.derive import Derived, touched
from shopclock.shop.state.shop_floor import ShopFloor
from shopclock.shop.state.transaction import Change
from shopclock.shop.values.entities import (
    ENTITIES,
    Batch,
    Entity,
    ImportRow,
    Interval,
    Leaving,
    Load,
    Note,
    OrderRule,
    Piece,
    Reading,
    RuleBroken,
    Shop,
    Step,
    Tally,
)
from shopclock.shop.values.kinds import Kind

T = TypeVar("T", bound=Entity)
OF_BATCHES = (Step, Piece, Load, Interval, Tally, Leaving, Reading, RuleBroken, Note, ImportRow)
LATELY_US = 36 * 3600 * 1_000_000
AT_ONCE = 500
ALL = "true"
OF_THESE = "batch_id IN :batches"
OF_THEIR_STEPS = "step_id IN (SELECT id FROM step WHERE batch_id IN :batches)"
OF_THEIR_LOADS = "id IN (SELECT load_id FROM interval WHERE batch_id IN :batches)"
OF_THEIR_STRETCHES = "interval_id IN (SELECT id FROM interval WHERE batch_id IN :batches)"
OF_THEIR_PIECES = "piece_id IN (SELECT id FROM piece WHERE batch_id IN :batches)"
OF_THESE_OR_THEIRS = f"{OF_THESE} OR {OF_THEIR_STRETCHES} OR {OF_THEIR_PIECES}"
OF_LATE_SHOP_WORK = (
    "interval_id IN (SELECT id FROM interval WHERE batch_id IS NULL AND (end_us IS NULL OR end_us > :since_us))"
)
LATE = "id IN (SELECT id FROM interval WHERE end_us IS NULL OR end_us > :since_us)"
"""What ended after an instant or runs; asked for by number, so that SQLite takes the index of the ends."""

LAST_END = "SELECT end_us FROM interval WHERE end_us IS NOT NULL AND kind IN :kinds ORDER BY end_us DESC LIMIT 1"
RESTS_ON = f"""SELECT min(start_us) FROM (
    SELECT start_us FROM interval WHERE {LATE} AND kind IN :kinds
    UNION ALL SELECT before.start_us FROM interval JOIN interval AS before ON before.id = interval.continues_id
    WHERE interval.{LATE})"""  # noqa: S608  # the names are ours
_ATTENDED = [str(kind) for kind in Kind if kind.attended]
MOVING = """SELECT id FROM batch WHERE started_us >= :since_us OR closed_us >= :since_us
    UNION SELECT batch_id FROM piece WHERE ended_us >= :since_us
    UNION SELECT batch_id FROM step WHERE id IN (
        SELECT step_id FROM tally WHERE at_us >= :since_us
        UNION SELECT step_id FROM leaving WHERE at_us >= :since_us
        UNION SELECT step_id FROM reading WHERE at_us >= :since_us
        UNION SELECT step_id FROM rule_broken WHERE at_us >= :since_us
    ) UNION SELECT coalesce(note.batch_id, piece.batch_id, interval.batch_id) FROM note
        LEFT JOIN piece ON piece.id = note.piece_id LEFT JOIN interval ON interval.id = note.interval_id
        WHERE note.at_us >= :since_us AND coalesce(note.batch_id, piece.batch_id, interval.batch_id) IS NOT NULL"""
"""Batches of which anything but its stretches lies at an instant or after."""

Value = int | Collection[int] | Collection[str]


def load_floor(connection: sa.Connection, newest_us: int) -> ShopFloor:
    """Read the set-up, all batches by name, the open ones whole, the last day and a half, what was stopped last."""
    floor = load_setup(connection)
    for shop in floor.all(Shop):
        zone_of(shop.zone)
    load_batches(connection, floor, [batch.id for batch in floor.open_batches()])
    load_since(connection, floor, _lately(connection, newest_us))
    return floor


def _lately(connection: sa.Connection, newest_us: int) -> int:
    """Return since when everything is on the floor that was opened at an instant."""
    horizon = newest_us - LATELY_US
    running = (i.start_us for i in read(connection, Interval, "end_us IS NULL"))
    return all_that(connection, min(horizon, *running, *_last_stop(connection), horizon))


def lacks_last_stop(floor: ShopFloor) -> bool:
    """Tell whether what was stopped last may have ended before all that is on the floor."""
    newest_us = max((ended[-1][0] for ended in floor.hands.ended.values() if ended), default=None)
    return newest_us is None or newest_us < floor.horizon_us


def load_last_stop(connection: sa.Connection, floor: ShopFloor) -> None:
    """Put what was stopped last on the floor: it can be carried on, however long ago it was."""
    for since_us in _last_stop(connection):
        load_all_since(connection, floor, since_us)


def _last_stop(connection: sa.Connection) -> list[int]:
    return [end_us - 1 for end_us in _run(connection, LAST_END, {"kinds": _ATTENDED}).scalars()]


def load_setup(connection: sa.Connection) -> ShopFloor:
    """Read the shop's set-up, and all batches by name alone."""
    floor = ShopFloor()
    for kind in ENTITIES:
        if kind not in OF_BATCHES:
            _put(floor, read(connection, kind))
    return floor


def load_batches(connection: sa.Connection, floor: ShopFloor, batches: Collection[int]) -> None:
    """Put everything of these batches on the floor, with its derived rows."""
    missing = [number for number in batches if not floor.steps(number)]
    for chunk in chunks(missing):
        _load_whole(connection, floor, chunk)


def _load_whole(connection: sa.Connection, floor: ShopFloor, batches: list[int]) -> None:
    for kind in (Step, Piece, Interval):
        _put(floor, read(connection, kind, OF_THESE, batches=batches))
    for marked in (Tally, Leaving, Reading, RuleBroken):
        _put(floor, read(connection, marked, OF_THEIR_STEPS, batches=batches))
    _put(floor, read(connection, Load, OF_THEIR_LOADS, batches=batches))
    _put(floor, read(connection, ImportRow, OF_THEIR_STRETCHES, batches=batches))
    _put(floor, read(connection, Note, OF_THESE_OR_THEIRS, batches=batches))
    _load_derived(connection, floor, OF_THESE, batches=batches)


def load_alone(connection: sa.Connection, around: ShopFloor, batch_id: int) -> ShopFloor:
    """Return a floor with nothing but one batch and its order rules, which is all that its figures need."""
    floor, batch = ShopFloor(), around.get(Batch, batch_id)
    floor.put(batch)
    _put(floor, (rule for rule in around.all(OrderRule) if rule.route_id == batch.route_id))
    load_batches(connection, floor, [batch_id])
    return floor


def load_since(connection: sa.Connection, floor: ShopFloor, since_us: int) -> None:
    """Put every interval that ended after an instant on the floor, with the batches of each."""
    found = list(read(connection, Interval, LATE, since_us=since_us))
    load_batches(connection, floor, {i.batch_id for i in found if i.batch_id is not None})
    _put(floor, [i for i in found if i.batch_id is None])
    for told in (ImportRow, Note):
        _put(floor, read(connection, told, OF_LATE_SHOP_WORK, since_us=since_us))
    _load_derived(connection, floor, LATE, since_us=since_us)
    floor.horizon_us = since_us


def load_all_since(connection: sa.Connection, floor: ShopFloor, since_us: int) -> None:
    """Put on the floor what ended after an instant, as far back as any of it rests on what came before.

    What runs at the same time shares the hands, and a chain its pieces' minutes: so the instant goes
    back until nothing attended reaches over it and no chain does.
    """
    since_us = all_that(connection, since_us)
    if since_us < floor.horizon_us:
        load_since(connection, floor, since_us)


def load_moving(connection: sa.Connection, floor: ShopFloor, since_us: int) -> None:
    """Put on the floor all that lies at an instant or after it: what moves when the clock is put right."""
    load_all_since(connection, floor, min(since_us - 1, floor.horizon_us))
    load_batches(connection, floor, list(_run(connection, MOVING, {"since_us": since_us}).scalars()))


def renew(floor: ShopFloor, changes: Iterable[Change], derived: Derived) -> None:
    """Set how things are now on the floor, as far as they stand there."""
    for change in changes:
        if change.after is not None and floor.find(type(change.after), change.after.id) is not None:
            floor.put(change.after)
    known = {number for number in derived.labour if floor.find(Interval, number) is not None}
    floor.labour.update({number: us for number, us in derived.labour.items() if number in known})
    floor.shares.update({number: share for number, share in derived.shares.items() if number in known})
    floor.forget()


def bring_taken(
    connection: sa.Connection, floor: ShopFloor, new: Ranges, gone_on: Collection[int], newest_us: int
) -> None:
    """Put on the floor what was taken, as far as it belongs there: new things, batches that were gone on with.

    A floor that reached back to the first day of a shop does so no longer: much may have come there.
    """
    for kind in ENTITIES:
        if kind not in OF_BATCHES and (name := table_name(kind)) in new:
            first, last = new[name]
            _put(floor, read(connection, kind, "id BETWEEN :first AND :last", first=first, last=last))
    for chunk in chunks([batch_id for batch_id in gone_on if floor.steps(batch_id)]):
        _load_whole(connection, floor, chunk)
    load_batches(connection, floor, [batch.id for batch in floor.open_batches()])
    load_since(connection, floor, max(floor.horizon_us, _lately(connection, newest_us)))


def load_about(connection: sa.Connection, floor: ShopFloor, changes: Iterable[Change]) -> None:
    """Put on the floor what these changes are about, and what ran or lay in a tool at the same time."""
    things = [t for c in changes for t in (c.before, c.after) if t is not None]
    steps = {step for t in things if (step := getattr(t, "step_id", None)) is not None}
    worked = (
        step.batch_id for chunk in chunks(sorted(steps)) for step in read(connection, Step, "id IN :ids", ids=chunk)
    )
    load_batches(connection, floor, {*batches_of(things, floor), *worked})
    intervals = [t for t in things if isinstance(t, Interval)]
    away = {i.load_id for i in intervals if i.load_id is not None} - {known.id for known in floor.all(Load)}
    for chunk in chunks(sorted(away)):
        _put(floor, read(connection, Load, "id IN :loads", loads=chunk))
    first_us = min((i.start_us for i in intervals), default=floor.horizon_us)
    if first_us < floor.horizon_us:
        load_all_since(connection, floor, first_us)


def load_touched(connection: sa.Connection, floor: ShopFloor, changes: Collection[Change]) -> set[int]:
    """Return the intervals whose labour or shares may have changed; all beside them is on the floor then."""
    changed = [t for change in changes for t in (change.before, change.after) if isinstance(t, Interval)]
    while True:
        numbers = touched(floor, changes)
        beside = (found for number in numbers if (found := floor.find(Interval, number)) is not None)
        first_us = min((i.start_us for i in (*changed, *beside)), default=floor.horizon_us)
        if first_us >= floor.horizon_us:
            return numbers
        _load_beside(connection, floor, {i.id for i in changed}, first_us)


def _load_beside(connection: sa.Connection, floor: ShopFloor, changed: Collection[int], since_us: int) -> None:
    """Put on the floor what was at the same time as intervals that a press changed, and leave these as it made them.

    They are made on the floor already and not yet on the disk, which must not undo them here.
    """
    made = {number: floor.find(Interval, number) for number in changed}
    load_all_since(connection, floor, since_us)
    for number, thing in made.items():
        if thing is not None:
            floor.put(thing)
        elif (gone := floor.find(Interval, number)) is not None:
            floor.drop(gone)


def _stretches(changes: Iterable[Change]) -> list[Interval]:
    return [t for change in changes for t in (change.before, change.after) if isinstance(t, Interval)]


def all_that(connection: sa.Connection, since_us: int) -> int:
    """Return how far back everything begins that what ended after an instant rests on."""
    while (earlier := _rests_on(connection, since_us)) < since_us:
        since_us = earlier
    return since_us


def _rests_on(connection: sa.Connection, since_us: int) -> int:
    """Return where the earliest begins of what reaches over an instant, or is gone on from after it."""
    found = _run(connection, RESTS_ON, {"since_us": since_us, "kinds": _ATTENDED}).scalar_one()
    return min(since_us, since_us if found is None else int(found))


def _put(floor: ShopFloor, things: Iterable[Entity]) -> None:
    for thing in things:
        floor.put(thing)


def chunks(numbers: list[int]) -> Iterable[list[int]]:
    """Yield numbers some at a time, as many as a query may name."""
    return (numbers[i : i + AT_ONCE] for i in range(0, len(numbers), AT_ONCE))


def read(connection: sa.Connection, kind: type[T], where: str = ALL, **values: Value) -> Iterable[T]:
    """Read things of a kind in the order of their numbers; `where` is SQL, `:name` in it stands for a value."""
    name = table_name(kind)
    query = f"SELECT * FROM {name} WHERE {where} ORDER BY id"  # noqa: S608  # the names are ours
    rows = _run(connection, query, values).mappings().all()
    pieces = _read_pieces(connection, name, where, values) if kind in COVERED else {}
    return [from_row(kind, dict(row), tuple(pieces.get(row["id"], ()))) for row in rows]


def _run(connection: sa.Connection, query: str, values: Mapping[str, Value]) -> sa.CursorResult[*tuple[Any, ...]]:
    """Run a query; a collection among the values stands for all that is in it."""
    several = {name: list(value) for name, value in values.items() if not isinstance(value, int)}
    made = sa.text(query).bindparams(*[sa.bindparam(name, expanding=True) for name in several])
    return connection.execute(made, {**values, **several})


def _read_pieces(
    connection: sa.Connection, owner: str, where: str, values: Mapping[str, Value]
) -> dict[int, list[int]]:
    """Read which pieces things are about, by mark."""
    query = (
        f"SELECT {owner}_id, piece_id FROM {owner}_piece JOIN piece ON piece.id = piece_id"  # noqa: S608  # ours
        f" WHERE {owner}_id IN (SELECT id FROM {owner} WHERE {where}) ORDER BY {owner}_id, piece.position, piece.id"
    )
    found: dict[int, list[int]] = defaultdict(list)
    for number, piece_id in _run(connection, query, values):
        found[number].append(piece_id)
    return found


def _load_derived(connection: sa.Connection, floor: ShopFloor, where: str, **values: Value) -> None:
    """Put labour and shares of intervals on the floor."""
    intervals = f"(SELECT id FROM interval WHERE {where})"  # noqa: S608  # ours
    labour = f"SELECT interval_id, us FROM labour WHERE interval_id IN {intervals}"  # noqa: S608  # ours
    for number, us in _run(connection, labour, values):
        floor.labour[number] = us
    query = (
        "SELECT interval_id, piece_id, us FROM share JOIN piece ON piece.id = piece_id"  # noqa: S608  # ours
        f" WHERE interval_id IN {intervals} ORDER BY interval_id, piece.position"
    )
    shares: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for number, piece, us in _run(connection, query, values):
        shares[number].append((piece, us))
    floor.shares.update({number: tuple(share) for number, share in shares.items()})
