"""Between things and rows, and between things and the journal's lines."""

import json
from dataclasses import fields
from enum import StrEnum
from typing import Any, TypeVar

from shopclock.record.file.schema import COVERED, OnDemand, bare, columns_of, table_name
from shopclock.shop.values.entities import ENTITIES, Entity

T = TypeVar("T", bound=Entity)
Row = dict[str, Any]


def to_row(thing: Entity) -> Row:
    """Return a thing's columns as SQLite keeps them."""
    return {name: _plain(getattr(thing, name)) for name in _COLUMNS[type(thing)]}


def _plain(value: Any) -> Any:
    if isinstance(value, bool):
        return int(value)
    return str(value) if isinstance(value, StrEnum) else value


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


def _makers_of(kind: type[Entity]) -> dict[str, Any]:
    return {name: _maker(hint) for name, hint in columns_of(kind).items()}


def _fields_of(kind: type[Entity]) -> tuple[str, ...]:
    return tuple(f.name for f in fields(kind))


_COLUMNS = OnDemand(ENTITIES, columns_of)
_MAKERS = OnDemand(ENTITIES, _makers_of)
_FIELDS = OnDemand(ENTITIES, _fields_of)
KIND_NAMED = {table_name(kind): kind for kind in ENTITIES}
"""The kind of thing that a table holds."""


def to_line(thing: Entity | None) -> str | None:
    """Write a thing as the journal keeps it."""
    if thing is None:
        return None
    values = {name: getattr(thing, name) for name in _FIELDS[type(thing)]}
    return json.dumps(values, separators=(",", ":"), ensure_ascii=False)


def from_line(kind: type[Entity], line: str | None) -> Entity | None:
    """Read a thing as the journal kept it."""
    if line is None:
        return None
    row = json.loads(line)
    return from_row(kind, row, tuple(row["pieces"]) if kind in COVERED else ())
