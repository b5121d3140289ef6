"""Between things and rows, and between things and the journal's lines."""

import json
from collections.abc import Callable, Iterable
from dataclasses import fields
from enum import StrEnum
from operator import attrgetter
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

from shopclock.record.file.error_text import Undecodable
from shopclock.record.file.schema import COVERED, VERSION, OnDemand, bare, columns_of, table_name
from shopclock.shop.values.entities import ENTITIES, Entity

T = TypeVar("T", bound=Entity)
Row = dict[str, Any]


def to_row(thing: Entity) -> Row:
    """Return a thing's columns as SQLite keeps them."""
    return dict(zip(_COLUMNS[type(thing)].names, to_values(thing), strict=True))


def to_values(thing: Entity) -> tuple[Any, ...]:
    """Return the same in the order of the columns, without their names: the quick way for many."""
    columns = _COLUMNS[type(thing)]
    values = list(columns.values(thing))
    for place, make in columns.odd:
        if values[place] is not None:
            values[place] = make(values[place])
    return tuple(values)


def from_row(kind: type[T], row: Row, pieces: tuple[int, ...] = ()) -> T:
    """Make a thing of its columns, and of its pieces where it has some. Undecodable: they make none."""
    try:
        values = {name: make(row[name]) for name, make in _MAKERS[kind].items()}
    except (KeyError, ValueError, TypeError) as error:
        raise Undecodable(table_name(kind)) from error
    if kind in COVERED:
        values["pieces"] = pieces
    return kind(**values)


def zone_of(name: Any) -> ZoneInfo:
    """Return the zone that a shop's days are told in. Undecodable: there is none of this name."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, TypeError, OSError) as error:
        raise Undecodable("shop") from error


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


class _Fields:
    """Fields of a kind of thing, and how to get their values all at once."""

    def __init__(self, names: Iterable[str]) -> None:
        self.names = tuple(names)
        self.values = attrgetter(*self.names)


class _Columns(_Fields):
    """Those that are columns of its table; `odd` are, by their place, what SQLite doesn't take as it is."""

    def __init__(self, kind: type[Entity]) -> None:
        columns = columns_of(kind)
        super().__init__(columns)
        kinds = [bare(hint)[0] for hint in columns.values()]
        made = [int if kind is bool else str if issubclass(kind, StrEnum) else None for kind in kinds]
        self.odd = [(place, make) for place, make in enumerate(made) if make is not None]


_COLUMNS = OnDemand(ENTITIES, _Columns)
_MAKERS = OnDemand(ENTITIES, _makers_of)
_FIELDS = OnDemand(ENTITIES, lambda kind: _Fields(f.name for f in fields(kind)))
KIND_NAMED = {table_name(kind): kind for kind in ENTITIES}
"""The kind of thing that a table holds."""
_LINE = json.JSONEncoder(separators=(",", ":"), ensure_ascii=False)


def to_line(thing: Entity | None) -> str | None:
    """Write a thing as the journal keeps it."""
    if thing is None:
        return None
    fields_of = _FIELDS[type(thing)]
    return _LINE.encode(dict(zip(fields_of.names, fields_of.values(thing), strict=True)))


def from_line(kind: type[Entity], line: str | None, version: int) -> Entity | None:
    """Read a thing as the journal kept it in a version of the record, as this version has it.

    Undecodable: it can't be read as one.
    """
    if line is None:
        return None
    try:
        row = json.loads(line)
        for older in range(version, VERSION):
            row |= UPGRADERS[older](table_name(kind), row)
        return from_row(kind, row, tuple(row["pieces"]) if kind in COVERED else ())
    except (KeyError, ValueError, TypeError, AttributeError, RecursionError) as error:
        raise Undecodable(table_name(kind)) from error


def _from_1(table: str, row: Row) -> Row:
    """Return the fields that a thing of version 1 lacks, as the migration fills them."""
    if table == "batch":
        return {"rules": 1 if row["closed_us"] is not None else 2}
    return _SINCE_2.get(table, {})


_SINCE_2: dict[str, Row] = {
    "made_before": {"maker_id": None}, "handing_over": {"given_up_us": None}, "shop_hours": {"maker_id": None},
    "maker": {"put_away": False}, "bench": {"place": ""}, "tool": {"setting_now": ""}, "tally": {"rules": 1},
}  # fmt: skip
UPGRADERS: dict[int, Callable[[str, Row], Row]] = {1: _from_1}
"""What brings a thing of a version to the next: the fields that it lacks, by its table and those it has."""
