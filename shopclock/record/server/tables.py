"""Tables of the meeting place: presses and journal of all benches, only added to; things as they stand; the views.

Things stand there in plain tables of the same names as in a record. So the documented views are the same text here and
there; the few functions of SQLite that they use are made beside them.
"""

from collections.abc import Iterator

import sqlalchemy as sa

from shopclock.record.file import schema
from shopclock.record.file.views import VIEWS

SCHEMA = "shopclock"
METADATA = sa.MetaData(schema=SCHEMA)

SHOP = sa.Table("this_shop", METADATA, sa.Column("uuid", sa.Text, primary_key=True), sa.Column("name", sa.Text))
"""Whose meeting place it is."""

BENCHES = sa.Table(
    "this_bench",
    METADATA,
    sa.Column("bench_id", sa.BigInteger, primary_key=True, autoincrement=False),
    sa.Column("uuid", sa.Text, nullable=False, unique=True),
    sa.Column("name", sa.Text, nullable=False),
    sa.Column("heard", sa.DateTime(timezone=True), nullable=False, server_default=sa.func.now()),
    sa.Column("version", sa.Integer, nullable=False),
    sa.Column("waiting", sa.BigInteger, nullable=False, server_default="0"),
)
"""Benches that have been here: when last, by which version of the record, how many presses they still had to take."""

_NAME = ("bench_id", "sequence")


def _named() -> tuple[sa.Column[int], ...]:
    """Return the columns that name a press."""
    return tuple(sa.Column(name, sa.BigInteger, primary_key=True, autoincrement=False) for name in _NAME)


def _of_press() -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(_NAME, [f"{SCHEMA}.press.{name}" for name in _NAME])


def _plain(column: sa.Column[object]) -> sa.Column[object]:
    kind = {sa.Integer: sa.BigInteger, sa.REAL: sa.Double}.get(type(column.type), sa.Text)
    return sa.Column(column.name, kind, nullable=column.nullable)


PRESS = sa.Table(
    "press",
    METADATA,
    *_named(),
    *(_plain(c) for c in schema.PRESS.columns if c.name not in ("id", *_NAME)),
    sa.UniqueConstraint("uuid"),
)
sa.Index("ix_press_place", PRESS.c.order_us, PRESS.c.bench_id, PRESS.c.sequence)
TAKEN_BACK = sa.Table(
    "taken_back",
    METADATA,
    *_named(),
    sa.Column("takes_bench", sa.BigInteger, primary_key=True, autoincrement=False),
    sa.Column("takes_sequence", sa.BigInteger, primary_key=True, autoincrement=False),
    _of_press(),
)
CLOCK_MOVE = sa.Table(
    "clock_move",
    METADATA,
    *_named(),
    sa.Column("from_us", sa.BigInteger, nullable=False),
    sa.Column("until_us", sa.BigInteger),
    sa.Column("by_us", sa.BigInteger, nullable=False),
    _of_press(),
)
JOURNAL = sa.Table(
    "journal",
    METADATA,
    *_named(),
    sa.Column("line", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("thing", sa.Text, nullable=False),
    sa.Column("number", sa.BigInteger, nullable=False),
    sa.Column("before", sa.Text),
    sa.Column("after", sa.Text),
    sa.Column("version", sa.Integer, nullable=False),
    _of_press(),
)
TRACE = (PRESS, TAKEN_BACK, CLOCK_MOVE, JOURNAL)
"""What is only added to."""

STANDS = sa.Table("stands", METADATA, *_named())
"""The last press of each bench that the tables of things tell of."""


def _as_there(table: sa.Table) -> sa.Table:
    """Return a table of things as a record has it; what points where is the records' to keep."""
    columns = []
    for column in table.columns:
        plain = _plain(column)
        plain.primary_key = column.primary_key
        columns.append(plain)
    return sa.Table(table.name, METADATA, *columns)


def things() -> tuple[sa.Table, ...]:
    """Return the tables of things as they stand, with labour, shares and trend rows."""
    own = (schema.LABOUR, schema.SHARE, schema.STAGE_ROW)
    tables = (*schema.TABLES.values(), *schema.COVERED.values(), *own)
    return tuple(_made(table) for table in tables)


def _made(table: sa.Table) -> sa.Table:
    found = METADATA.tables.get(f"{SCHEMA}.{table.name}")
    return found if found is not None else _as_there(table)


_FUNCTIONS = """
CREATE FUNCTION shopclock.strftime(text, bigint, text) RETURNS text IMMUTABLE LANGUAGE sql AS
    $$SELECT to_char(to_timestamp($2) AT TIME ZONE 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS')$$;
CREATE FUNCTION shopclock.printf(text, bigint) RETURNS text IMMUTABLE LANGUAGE sql AS
    $$SELECT '.' || lpad($2::text, 6, '0') || 'Z'$$;
CREATE FUNCTION shopclock.instr(text, text) RETURNS integer IMMUTABLE LANGUAGE sql AS $$SELECT strpos($1, $2)$$;
CREATE FUNCTION shopclock.joined(text, text, text) RETURNS text IMMUTABLE LANGUAGE sql AS
    $$SELECT coalesce($1 || $3 || $2, $1, $2)$$;
CREATE AGGREGATE shopclock.group_concat(text, text) (SFUNC = shopclock.joined, STYPE = text);
CREATE FUNCTION shopclock.only_added_to() RETURNS trigger LANGUAGE plpgsql AS
    $$BEGIN RAISE EXCEPTION 'the % is never changed', TG_TABLE_NAME; END$$;
"""


def _guards() -> Iterator[str]:
    for table in TRACE:
        yield (
            f"CREATE TRIGGER {table.name}_is_kept BEFORE UPDATE OR DELETE OR TRUNCATE ON {SCHEMA}.{table.name}"
            " FOR EACH STATEMENT EXECUTE FUNCTION shopclock.only_added_to()"
        )


_FINISHED = "coalesce(p.outcome IN ('finished', 'second'), 0)"
_OTHERWISE = (
    (" AS REAL)", " AS DOUBLE PRECISION)"),
    ("ORDER BY position, piece.id))", "ORDER BY position, piece.id) AS covered)"),
    (f"WHEN {_FINISHED} THEN", "WHEN p.outcome IN ('finished', 'second') THEN"),
    (_FINISHED, "CASE WHEN p.outcome IN ('finished', 'second') THEN 1 ELSE 0 END"),
    ("GROUP BY b.id, stage.id", "GROUP BY b.id, stage.id, pattern.id"),
    ("GROUP BY p.id, i.step_id, i.work", "GROUP BY p.id, step.id, i.work, b.id, pattern.id, stage.id"),
)
"""What PostgreSQL asks to be said otherwise: texts of the views, and what stands in their place."""


def _views() -> Iterator[str]:
    """Yield the documented views."""
    for view in VIEWS:
        sql = view.sql
        for here, there in _OTHERWISE:
            sql = sql.replace(here, there)
        yield sql


def create(connection: sa.Connection) -> None:
    """Make all of it in an empty database, or one that holds other things beside."""
    connection.exec_driver_sql(f"CREATE SCHEMA {SCHEMA}")
    connection.exec_driver_sql(f"SET LOCAL search_path = {SCHEMA}, public")
    METADATA.create_all(connection, [SHOP, BENCHES, *TRACE, STANDS, *things()])
    functions = (statement for statement in _FUNCTIONS.split(";\n") if statement.strip())
    for statement in (*functions, *_guards(), *_views()):
        connection.exec_driver_sql(statement.replace("%", "%%"))  # the driver's own sign for a value
    connection.exec_driver_sql(f"REVOKE UPDATE, DELETE, TRUNCATE ON {', '.join(map(str, TRACE))} FROM PUBLIC")
