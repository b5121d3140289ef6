"""Entries that two benches changed apart: each without knowing of the other's press, which the later one overruled."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import sqlalchemy as sa

from shopclock.record.file.codec import KIND_NAMED
from shopclock.record.file.fold import Placed, as_it_stands, in_order, moves_of, moving, parts_of
from shopclock.record.file.schema import POINTS_AT
from shopclock.shop.state.fold import SEVERAL, differing, folded
from shopclock.shop.values.entities import Bench, Entity, Question, Setting

_APART = """SELECT thing, number FROM journal JOIN press ON press.id = press_id
    WHERE press.order_us >= ? AND before IS NOT NULL AND after IS NOT NULL
    GROUP BY thing, number HAVING count(DISTINCT bench_id) > 1 ORDER BY max(press.order_us) DESC"""
OF_EACH = (Bench, Question)
"""Things that each bench has for itself."""


@dataclass(frozen=True, slots=True)
class ChangedApart:
    """An entry that two benches changed apart: as one had it first, as the other has it now, and which these are.

    `other` is the entry as it would stand with the earlier bench's values.
    """

    now: Entity
    other: Entity
    now_bench: int
    other_bench: int


def changed_apart(connection: sa.Connection, since_us: int) -> list[ChangedApart]:
    """Return what benches changed apart since an instant and nobody has changed again knowing of both; newest first."""
    moves = moves_of(connection)
    found = []
    for thing, number in connection.exec_driver_sql(_APART, (since_us,)).all():
        now = as_it_stands(connection, thing, number)
        if now is None or issubclass(KIND_NAMED[thing], OF_EACH) or (isinstance(now, Setting) and now.of_bench):
            continue
        parts = in_order([*parts_of(connection, thing, number), *moving(moves, number)])
        found += [one for one in _of(now, (p for p in parts if p.stands)) if one.other != one.now]
    return found


def _of(now: Entity, parts: Iterable[Placed]) -> Iterator[ChangedApart]:
    """Yield the groups of fields of a thing that were changed apart, and not since."""
    thing: Entity | None = None
    by: dict[tuple[str, ...], int] = {}
    apart: dict[tuple[str, ...], tuple[Entity, int, int]] = {}
    for placed in parts:
        was, bench, change = thing, placed.place.bench_id, placed.part.change
        thing = folded(thing, placed.part)
        if was is None or change is None or change.before is None or change.after is None:
            continue
        for group in differing(change.before, change.after):
            knew = _values(change.before, group) == _values(was, group)
            other = by.get(group, bench)
            apart.pop(group, None)
            if not knew and other != bench and not _points(group):
                apart[group] = (was, other, bench)
            by[group] = bench
    for group, (was, other, bench) in apart.items():
        values: dict[str, Any] = {name: getattr(was, name) for name in group}
        yield ChangedApart(now, replace(now, **values), bench, other)


def _values(thing: Entity, group: tuple[str, ...]) -> tuple[Any, ...]:
    return tuple(getattr(thing, name) for name in group)


def _points(group: tuple[str, ...]) -> bool:
    return any(name in POINTS_AT or name == SEVERAL for name in group)
