"""Desk's copies of older versions: their presses as those of a bench with numbers of its own.

The desk gave numbers on from those that the shop gave on too, and its bench was made in its own file alone.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED, from_line, to_line
from shopclock.record.file.fold import Name
from shopclock.record.file.schema import COVERED, POINTS_AT, VERSION, table_name
from shopclock.record.joining.presses import Line, PressName, TravellingPress
from shopclock.record.read.load import read
from shopclock.shop.state.desk_copy import DESK
from shopclock.shop.state.fold import SEVERAL
from shopclock.shop.values.entities import Bench, Both, Checkout, Entity
from shopclock.shop.values.ranges import ROOM, free_number

BROUGHT = "Brought to version "
_AFTER = "SELECT count(*) FROM press WHERE bench_id = ? AND id <= (SELECT press_id FROM journal WHERE id = ?)"


def bench_there(ours: sa.Connection, theirs: sa.Connection, handed: Checkout) -> Bench:
    """Return the bench of a desk's copy as the shop has it, or will have it."""
    benches = [*read(ours, Bench), *read(theirs, Bench)]
    known = next((bench for bench in benches if bench.uuid == handed.uuid), None)
    return known or Bench(id=free_number([bench.id for bench in benches]), uuid=handed.uuid, name=DESK)


def bench_at_desk(theirs: sa.Connection, handed: Checkout) -> Bench:
    """Return the bench of a desk's copy in its own file: an older version made it last, under another UUID."""
    benches = list(read(theirs, Bench))
    return next((bench for bench in benches if bench.uuid == handed.uuid), benches[-1])


def as_of_bench(
    ours: sa.Connection, theirs: sa.Connection, handed: Checkout, bench: Bench, pressed: Sequence[TravellingPress]
) -> Sequence[TravellingPress]:
    """Return what was pressed at a desk as presses of its bench; of an older version's copy since it last came back.

    What an older version has joined is in the shop under the shop's numbers; what this one has is known by its UUIDs.
    """
    there = bench_at_desk(theirs, handed)
    if there.uuid == handed.uuid:
        return pressed
    presses = [press for press in pressed if not _by_migration(press)]
    begins = next((n for n, press in enumerate(presses) if _is_here(ours, press)), None)
    if begins is None:
        begins = theirs.exec_driver_sql(_AFTER, (there.id, handed.joined)).scalar_one()
    numbers = dict(_numbers(ours, theirs, presses, bench))
    names: dict[PressName, PressName] = {}
    found: list[TravellingPress] = []
    for press in presses[begins:]:
        names[press.name] = bench.id, len(found) + 1
        takes = tuple(names[taken] for taken in press.takes if taken in names)
        row = {**press.row, "bench_id": bench.id, "sequence": len(found) + 1}
        lines = tuple(_line(line, numbers) for line in press.lines)
        found.append(TravellingPress(row, takes, press.move, lines))
    return found


def _by_migration(press: TravellingPress) -> bool:
    """Tell whether a migration made a press: both sides got it, each by itself."""
    return bool(press.row["what"].startswith(BROUGHT) and not press.row["undoable"])


def _is_here(ours: sa.Connection, press: TravellingPress) -> bool:
    query = "SELECT 1 FROM press WHERE uuid = ?"
    return ours.exec_driver_sql(query, (press.row["uuid"],)).first() is not None


def _numbers(
    ours: sa.Connection, theirs: sa.Connection, presses: Iterable[TravellingPress], bench: Bench
) -> Iterator[tuple[Name, int]]:
    """Yield the number that each thing has in the shop, or gets there: what is known by its UUID has one."""
    pairs = {both.uuid: both.id for both in read(ours, Both)}
    yield from (((table_name(Both), one.id), pairs[one.uuid]) for one in read(theirs, Both) if one.uuid in pairs)
    for press in presses:
        for line in press.lines:
            made = from_line(KIND_NAMED[line.thing], line.after, line.version) if line.before is None else None
            if made is not None:
                query = f"SELECT id FROM {line.thing} WHERE uuid = ?"  # noqa: S608  # a table of ours
                known = ours.exec_driver_sql(query, (made.uuid,)).scalar_one_or_none()
                yield (line.thing, line.number), known or bench.id * ROOM + line.number


def _line(line: Line, numbers: Mapping[Name, int]) -> Line:
    sides = (from_line(KIND_NAMED[line.thing], side, line.version) for side in (line.before, line.after))
    before, after = (to_line(renumbered(side, numbers)) if side is not None else None for side in sides)
    return Line(line.thing, numbers.get((line.thing, line.number), line.number), before, after, VERSION)


def renumbered(thing: Entity, numbers: Mapping[Name, int]) -> Entity:
    """Return a thing with its own number and those it points at as they are elsewhere."""
    own = table_name(type(thing))
    changed: dict[str, Any] = {"id": numbers.get((own, thing.id), thing.id)}
    for field in fields(thing):
        to, value = POINTS_AT.get(field.name), getattr(thing, field.name)
        if to is not None and value is not None:
            changed[field.name] = numbers.get((to, value), value)
    if type(thing) in COVERED:
        changed[SEVERAL] = tuple(numbers.get(("piece", piece), piece) for piece in getattr(thing, SEVERAL))
    return replace(thing, **changed)
