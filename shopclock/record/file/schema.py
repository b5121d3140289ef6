"""The tables, made from the things of the shop: a column a field, STRICT, integer microseconds."""

import types
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import fields
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

import sqlalchemy as sa

from shopclock.record.file.views import VIEWS
from shopclock.shop.figures.trend_rows import TrendRow
from shopclock.shop.values.entities import ENTITIES, Entity, Interval, RuleBroken
from shopclock.shop.values.pointers import POINTERS

K = TypeVar("K")
V = TypeVar("V")
APPLICATION_ID = 0x53434C4B
"""Written into the head of each record ("SCLK")."""

VERSION = 2
"""The version of this schema, in SQLite's user_version."""

INDEXED = {
    ("interval", "batch_id"), ("interval", "end_us"), ("interval", "continues_id"),
    ("interval", "maker_id", "start_us"), ("step", "batch_id"), ("piece", "batch_id"),
    ("tally", "step_id"), ("tally", "interval_id"), ("route_step", "route_id"),
    ("interval", "stage_id", "start_us"), ("interval", "load_id"), ("reading", "step_id"), ("reading", "kind_id"),
    ("order_piece", "order_id"), ("order_piece", "piece_id"),
    ("import_row", "interval_id"), ("interval", "step_id"), ("tally", "piece_id"), ("rule_broken", "step_id"),
    ("leaving", "step_id"), ("leaving", "interval_id"), ("leaving", "piece_id"), ("both", "interval_id"),
    ("both", "other_id"),
}  # fmt: skip

PARTLY_INDEXED = {
    ("interval", "cause_step_id"), ("piece", "lost_step_id"), ("piece", "from_piece_id"), ("reading", "piece_id"),
    ("note", "interval_id"), ("note", "piece_id"), ("note", "batch_id"),
}  # fmt: skip
"""Mostly empty. Whatever points at a step or piece is indexed: taking one back looks for what points at it."""

CHECKED = {"note": "(interval_id IS NOT NULL) + (piece_id IS NOT NULL) + (batch_id IS NOT NULL) = 1"}
"""What has to hold of a row of a table."""

METADATA = sa.MetaData()
"""The tables made so far; `every_table` makes the others."""


class OnDemand(Mapping[K, V]):
    """A mapping whose keys are known, and each value made once, of its key, when it is first asked for.

    A start needs few of the tables, and making them all takes a while.
    """

    def __init__(self, keys: Iterable[K], make: Callable[[K], V]) -> None:
        self._keys = tuple(keys)
        self._make = make
        self._made: dict[K, V] = {}

    def __getitem__(self, key: K) -> V:
        if key not in self._made:
            if key not in self._keys:
                raise KeyError(key)
            self._made[key] = self._make(key)
        return self._made[key]

    def __contains__(self, key: object) -> bool:
        return key in self._keys

    def __iter__(self) -> Iterator[K]:
        return iter(self._keys)

    def __len__(self) -> int:
        return len(self._keys)


_NAMED_OTHERWISE = {"Checkout": "handing_over"}
"""Tables that keep the name which their things had in version 1."""


def table_name(kind: type[Entity]) -> str:
    """Name of the table of a kind of thing: RouteStep is kept in route_step."""
    return _table_named(kind.__name__)


@cache
def _table_named(name: str) -> str:
    letters = (f"_{c.lower()}" if c.isupper() else c for c in name)
    return _NAMED_OTHERWISE.get(name, "".join(letters).lstrip("_"))


POINTS_AT = {name: table_name(kind) for name, kind in POINTERS.items()} | {"press_id": "press", "takes_id": "press"}
"""Columns that point at a table."""


def bare(hint: Any) -> tuple[Any, bool]:
    """Return a field's type without None, and whether it may be None."""
    if get_origin(hint) in (Union, types.UnionType):
        inner = [arg for arg in get_args(hint) if arg is not type(None)]
        return inner[0], True
    return hint, False


def _to(table: str) -> sa.ForeignKey:
    """Point at a table; checked at the end of a press, in whatever order it was written."""
    return sa.ForeignKey(f"{table}.id", deferrable=True, initially="DEFERRED")


def _pointer(name: str, table: str, **more: Any) -> sa.Column[Any]:
    return sa.Column(name, sa.Integer, _to(table), **more)


def _column(name: str, hint: Any, *, loose: bool = False) -> sa.Column[Any]:
    """Make a column of a field; a `loose` one points at nothing."""
    kind, nullable = bare(hint)
    if name == "id":
        return sa.Column("id", sa.Integer, primary_key=True)
    rules: list[Any] = []
    if name in POINTS_AT and not loose:
        rules.append(_to(POINTS_AT[name]))
    if kind is bool:
        rules.append(sa.CheckConstraint(f"{name} in (0, 1)"))
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        words = ", ".join(f"'{word}'" for word in kind)
        rules.append(sa.CheckConstraint(f"{name} in ({words})"))
    plain = {int: sa.Integer, bool: sa.Integer, float: sa.REAL}.get(kind, sa.Text)
    return sa.Column(name, plain, *rules, nullable=nullable, unique=name == "uuid")


def columns_of(kind: type[Any]) -> dict[str, Any]:
    """Return the fields of a thing that are columns of its table, with their types."""
    hints = get_type_hints(kind)
    return {f.name: hints[f.name] for f in fields(kind) if get_origin(hints[f.name]) is not tuple}


def _table(kind: type[Entity]) -> sa.Table:
    name = table_name(kind)
    columns = [_column(field, hint) for field, hint in columns_of(kind).items()]
    rules = [sa.CheckConstraint(CHECKED[name])] if name in CHECKED else []
    table = sa.Table(name, METADATA, *columns, *rules, sqlite_strict=True, sqlite_autoincrement=True)
    for wanted in sorted(INDEXED):
        if wanted[0] == name:
            sa.Index("_".join(("ix", *wanted)), *(table.c[c] for c in wanted[1:]))
    for _, column in sorted(one for one in PARTLY_INDEXED if one[0] == name):
        sa.Index(f"ix_{name}_{column}", table.c[column], sqlite_where=table.c[column].is_not(None))
    return table


TABLES = OnDemand(ENTITIES, _table)


def _covered(kind: type[Entity]) -> sa.Table:
    owner = table_name(kind)
    return sa.Table(
        f"{owner}_piece",
        METADATA,
        _pointer(f"{owner}_id", owner, primary_key=True),
        _pointer("piece_id", "piece", primary_key=True, index=True),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )


COVERED: OnDemand[type[Entity], sa.Table] = OnDemand((Interval, RuleBroken), _covered)
"""Which pieces an interval or a broken rule is about."""

PRESS = sa.Table(
    "press",
    METADATA,
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("uuid", sa.Text, nullable=False, unique=True),
    _pointer("bench_id", "bench", nullable=False),
    _pointer("maker_id", "maker", nullable=False),
    sa.Column("what", sa.Text, nullable=False),
    sa.Column("at_us", sa.Integer, nullable=False),
    sa.Column("wall_us", sa.Integer, nullable=False),
    sa.Column("boot_us", sa.Integer, nullable=False),
    sa.Column("awake_us", sa.Integer, nullable=False),
    sa.Column("boot_id", sa.Text, nullable=False),
    sa.Column("offset_min", sa.Integer, nullable=False),
    sa.Column("undoable", sa.Integer, nullable=False),
    sa.Column("moved_us", sa.Integer, nullable=False),
    sa.Column("reason", sa.Text, nullable=False, server_default=""),
    sa.Column("order_us", sa.Integer, nullable=False),
    sa.Column("sequence", sa.Integer, nullable=False),
    sa.UniqueConstraint("bench_id", "sequence"),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)
"""Presses. `order_us` is a press's place in the order of all, then bench, then `sequence`: the bench's own count."""

CLOCK_RIGHT = "Clock put right"
"""What a press is called that moves instants."""
sa.Index("ix_press_order_us", PRESS.c.order_us)
sa.Index("ix_press_clock_right", PRESS.c.id, sqlite_where=sa.and_(PRESS.c.what == CLOCK_RIGHT, PRESS.c.undoable == 0))

NOT_BROUGHT = "NOT (what LIKE 'Brought to version %' AND undoable = 0)"
"""True of each press that somebody or the program at its work made, false of those that a migration left."""

TAKEN_BACK = sa.Table(
    "taken_back",
    METADATA,
    _pointer("press_id", "press", primary_key=True),
    _pointer("takes_id", "press", primary_key=True, index=True),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
"""Which presses a press takes back: an Undo one, a Put back Undos."""

CLOCK_MOVE = sa.Table(
    "clock_move",
    METADATA,
    _pointer("press_id", "press", primary_key=True),
    sa.Column("from_us", sa.Integer, nullable=False),
    sa.Column("until_us", sa.Integer),
    sa.Column("by_us", sa.Integer, nullable=False),
    sqlite_strict=True,
)
"""What a press moved that put a clock right: every instant of then from one on, before another."""

JOURNAL = sa.Table(
    "journal",
    METADATA,
    sa.Column("id", sa.Integer, primary_key=True),
    _pointer("press_id", "press", nullable=False, index=True),
    sa.Column("thing", sa.Text, nullable=False),
    sa.Column("number", sa.Integer, nullable=False),
    sa.Column("before", sa.Text),
    sa.Column("after", sa.Text),
    sa.Column("version", sa.Integer, nullable=False),
    sqlite_strict=True,
    sqlite_autoincrement=True,
)
sa.Index("ix_journal_thing_number", JOURNAL.c.thing, JOURNAL.c.number)

KEPT = sa.Table("kept", METADATA, _pointer("press_id", "press", primary_key=True), sqlite_strict=True)
"""Presses that stand though an Undo took them back, because what came meanwhile at another bench rests on them."""

CORRECTED = sa.Table(
    "corrected",
    METADATA,
    sa.Column("thing", sa.Text, primary_key=True),
    sa.Column("number", sa.Integer, primary_key=True),
    sa.Column("pressed", sa.Text),
    sa.Column("stays", sa.Integer, nullable=False),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)
"""Things that are otherwise than pressed, because benches contradict each other; `pressed` as the journal keeps them.

Parts cut off an interval were never pressed. What `stays` was taken out of the record at one bench while another
pointed at it.
"""

LABOUR = sa.Table(
    "labour",
    METADATA,
    _pointer("interval_id", "interval", primary_key=True),
    sa.Column("us", sa.Integer, nullable=False),
    sqlite_strict=True,
)

SHARE = sa.Table(
    "share",
    METADATA,
    _pointer("interval_id", "interval", primary_key=True),
    sa.Column("piece_id", sa.Integer, primary_key=True),  # points at nothing: taking a piece back looks no further
    sa.Column("us", sa.Integer, nullable=False),
    sqlite_strict=True,
    sqlite_with_rowid=False,
)

STAGE_ROW = sa.Table(
    "stage_row",
    METADATA,
    sa.Column("id", sa.Integer, primary_key=True),
    *(_column(field, hint, loose=field == "stage_id") for field, hint in columns_of(TrendRow).items()),
    sqlite_strict=True,
)
"""What each closed batch took at its stages, and as a whole (stage 0); trends read these alone."""
sa.Index("ix_stage_row_batch_id", STAGE_ROW.c.batch_id)
sa.Index("ix_stage_row_stage_id", STAGE_ROW.c.stage_id)

_SAME = {
    "journal": "id = NEW.id",
    "press": "id = NEW.id",
    "taken_back": "press_id = NEW.press_id AND takes_id = NEW.takes_id",
    "clock_move": "press_id = NEW.press_id",
}
"""What is the same row, in each table that is only added to."""
GUARDS = tuple(
    f"CREATE TRIGGER {table}_keeps_{word} BEFORE {event} ON {table} {when}"
    f"BEGIN SELECT RAISE(ABORT, 'the {table} is never changed'); END"
    for table in ("journal", "press", "taken_back", "clock_move")
    for word, event, when in (
        ("rows", "DELETE", ""),
        ("values", "UPDATE", ""),
        ("numbers", "INSERT", f"WHEN EXISTS (SELECT 1 FROM {table} WHERE {_SAME[table]}) "),  # noqa: S608  # ours
    )
)
"""The database itself refuses to change or delete what was written down."""


def every_table() -> tuple[sa.Table, ...]:
    """Return the tables of what is there, every one of them, always in the same order."""
    trace, derived = (PRESS, TAKEN_BACK, CLOCK_MOVE, JOURNAL), (KEPT, CORRECTED, LABOUR, SHARE, STAGE_ROW)
    return (*TABLES.values(), *COVERED.values(), *trace, *derived)


def create(connection: sa.Connection) -> None:
    """Make the tables of a new record, and the views for other readers."""
    METADATA.create_all(connection, every_table())
    for guard in GUARDS:
        connection.exec_driver_sql(guard)
    for view in VIEWS:
        connection.exec_driver_sql(view.sql)
    connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.exec_driver_sql(f"PRAGMA user_version = {VERSION}")
