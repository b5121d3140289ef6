"""Between things and rows, and between things and the journal's lines."""

import json
from collections.abc import Callable
from dataclasses import fields
from enum import StrEnum
from operator import attrgetter
from typing import Any, TypeVar

from shopclock.record.on_demand import OnDemand
from shopclock.record.schema import COVERED, bare, columns_of, table_name
from shopclock.shop.values import THINGS, Thing

T = TypeVar("T", bound=Thing)
Row = dict[str, Any]


def to_row(thing: Thing) -> Row:
    """Return a thing's columns as SQLite keeps them."""
    return dict(zip(_COLUMNS[type(thing)].names, to_values(thing), strict=True))


def to_values(thing: Thing) -> tuple[Any, ...]:
    """Return the same in the order of the columns, without their names: the quick way for many."""
    columns = _COLUMNS[type(thing)]
    values: tuple[Any, ...] = columns.get(thing)
    if not columns.odd:
        return values
    plain = list(values)
    for place, make in columns.odd:
        if plain[place] is not None:
            plain[place] = make(plain[place])
    return tuple(plain)


def from_row(kind: type[T], row: Row, pieces: tuple[int, ...] = ()) -> T:
    """Make a thing of its columns, and of its pieces where it has some."""
    values = {name: make(row[name]) for name, make in _MAKERS[kind].items()}
    if kind in COVERED:
        values["pieces"] = pieces
    return kind(**values)


def _as_it_is(value: Any) -> Any:
    return value


def _maker(hint: Any) -> Any:
    kind, _ = bare(hint)
    if kind is bool:
        return bool
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return lambda value: None if value is None else kind(value)
    return _as_it_is


def _makers_of(kind: type[Thing]) -> dict[str, Any]:
    return {name: _maker(hint) for name, hint in columns_of(kind).items()}


class _Columns:
    """The columns of a kind of thing, how they are got, and what is made of those that SQLite doesn't take as they are."""

    def __init__(self, kind: type[Thing]) -> None:
        columns = columns_of(kind)
        self.names = tuple(columns)
        self.get: Callable[[Thing], tuple[Any, ...]] = attrgetter(*columns)
        kinds = [bare(hint)[0] for hint in columns.values()]
        made = [int if kind is bool else str if issubclass(kind, StrEnum) else None for kind in kinds]
        self.odd = [(place, make) for place, make in enumerate(made) if make is not None]


def _fields_of(kind: type[Thing]) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind))


_COLUMNS = OnDemand(THINGS, _Columns)
_MAKERS = OnDemand(THINGS, _makers_of)
_FIELDS = OnDemand(THINGS, _fields_of)
KIND_NAMED = {table_name(kind): kind for kind in THINGS}
"""The kind of thing that a table holds."""


_LINE = json.JSONEncoder(separators=(",", ":"), ensure_ascii=False)


def to_line(thing: Thing | None) -> str | None:
    """Write a thing as the journal keeps it."""
    if thing is None:
        return None
    values = {name: getattr(thing, name) for name in _FIELDS[type(thing)]}
    return _LINE.encode(values)


def from_line(kind: type[Thing], line: str | None) -> Thing | None:
    """Read a thing as the journal kept it."""
    if line is None:
        return None
    row = json.loads(line)
    return from_row(kind, row, tuple(row.get("pieces", ())))
