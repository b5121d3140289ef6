"""The second version: the order of presses, what they take back, and what was planned beside; see v0002_standing.sql.

Tables whose columns or rules differ are made anew and filled from those of version 1. What that adds to the shop
beside columns has lines in the journal, so that the journal still builds the record: words for notes and what tools
are set to in a press of their own, each pair at work at once in the press that began the later of the two, which
takes it back with the interval. Nothing here follows later versions of the program.
"""

import json
import re
import uuid
from pathlib import Path
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "2"
down_revision = "1"

WHAT = "Brought to version 2"
NOTE_WORDS = ("worn belt", "fresh belt", "interrupted", "trial", "hard to hold")
FILLED = {
    ("handing_over", "given_up_us"): "NULL",
    ("maker", "put_away"): "0",
    ("bench", "place"): "''",
    ("tool", "setting_now"): "''",
    ("shop_hours", "maker_id"): "NULL",
    ("made_before", "maker_id"): "NULL",
    ("batch", "rules"): "CASE WHEN closed_us IS NULL THEN 2 ELSE 1 END",
    ("tally", "rules"): "1",
    ("press", "order_us"): "n + max(at_us - n) OVER (ORDER BY id)",
    ("press", "sequence"): "row_number() OVER (PARTITION BY bench_id ORDER BY id)",
    ("stage_row", "maker_id"): """(
        SELECT CASE WHEN count(DISTINCT maker_id) = 1 THEN min(maker_id) END FROM interval
        WHERE interval.batch_id = former.batch_id AND former.stage_id IN (0, interval.stage_id))""",
    ("stage_row", "from_notes"): """EXISTS (
        SELECT 1 FROM import_row JOIN interval ON interval.id = interval_id
        WHERE interval.batch_id = former.batch_id AND former.stage_id IN (0, interval.stage_id))""",
}
"""What stands in columns that version 1 has not. `n` counts the rows of a table by their numbers."""

AT_ONCE = """SELECT one.id, other.id, one.uuid, other.uuid FROM interval AS one JOIN interval AS other
    ON other.maker_id = one.maker_id AND other.kind = 'hands-on'
    AND (other.start_us, other.id) > (one.start_us, one.id)
    AND other.start_us < coalesce(one.end_us, 9223372036854775807)
    AND coalesce(other.end_us, 9223372036854775807) > other.start_us
    WHERE one.kind = 'hands-on' AND (one.together OR other.together)
    AND coalesce(one.end_us, 9223372036854775807) > one.start_us ORDER BY one.id, other.id"""
MADE_BY = "SELECT press_id FROM journal WHERE thing = 'interval' AND number = ? ORDER BY id LIMIT 1"
SET_TO = """SELECT tool.*, load.setting AS newest FROM tool JOIN load
    ON load.id = (SELECT max(id) FROM load WHERE tool_id = tool.id) WHERE load.setting != '' ORDER BY tool.id"""
COPIED = "bench_id, maker_id, at_us, wall_us, boot_us, awake_us, boot_id, offset_min"


def upgrade() -> None:
    """Make the tables, and a press of what is new in them."""
    connection = op.get_bind()
    connection.exec_driver_sql("PRAGMA legacy_alter_table = ON")  # what points at a table goes on naming it
    try:
        for guard in ("journal_keeps_rows", "press_keeps_rows", "press_keeps_values", "press_keeps_numbers"):
            connection.exec_driver_sql(f"DROP TRIGGER {guard}")
        script = Path(__file__).with_suffix(".sql").read_text(encoding="utf-8")
        statements = [statement for statement in script.split("\n;\n") if statement.strip()]
        tables = {made[1]: s for s in statements if (made := re.match(r"CREATE TABLE (\w+)", s)) is not None}
        there = [table for table in tables if _columns(connection, table)]
        for table in tables.keys() - there:
            connection.exec_driver_sql(tables[table])
        for table in there:
            _make_anew(connection, table, tables[table])
        connection.exec_driver_sql("DROP TABLE coming")
        connection.exec_driver_sql("DELETE FROM sqlite_sequence WHERE seq = 0")  # left by what copied no row
        for statement in statements:
            if not statement.startswith("CREATE TABLE"):
                connection.exec_driver_sql(statement)
        _pairs(connection)
        _press(connection)
    finally:
        connection.exec_driver_sql("PRAGMA legacy_alter_table = OFF")


def _make_anew(connection: sa.Connection, table: str, statement: str) -> None:
    """Make a table anew, and have in it what it held before."""
    former = _columns(connection, table)
    connection.exec_driver_sql(f"ALTER TABLE {table} RENAME TO former")
    connection.exec_driver_sql(statement)
    names = _columns(connection, table)
    values = ", ".join(name if name in former else FILLED[table, name] for name in names)
    rows = "(SELECT *, row_number() OVER (ORDER BY id) AS n FROM former) AS former"
    into = f"INSERT INTO {table} ({', '.join(names)}) SELECT {values} FROM {rows} ORDER BY id"  # noqa: S608  # ours
    connection.exec_driver_sql(into)
    if table == "press":
        taken = "INSERT INTO taken_back SELECT id, undoes_id FROM former WHERE undoes_id IS NOT NULL"
        connection.exec_driver_sql(taken)
    # No number is given twice, those of things that are gone neither.
    given = "(SELECT seq FROM sqlite_sequence WHERE name = 'former')"
    connection.exec_driver_sql(f"DELETE FROM sqlite_sequence WHERE name = '{table}' AND {given} IS NOT NULL")  # noqa: S608  # ours
    connection.exec_driver_sql("UPDATE sqlite_sequence SET name = ? WHERE name = 'former'", (table,))
    connection.exec_driver_sql("DROP TABLE former")


def _columns(connection: sa.Connection, table: str) -> list[str]:
    return [row[1] for row in connection.exec_driver_sql(f"PRAGMA table_info({table})")]


def _press(connection: sa.Connection) -> None:
    """Write what is new as a press at the instant of the newest one; a record without a press gets none."""
    newest = connection.exec_driver_sql("SELECT id, order_us FROM press ORDER BY id DESC LIMIT 1").first()
    if newest is None:
        return
    name = connection.exec_driver_sql("SELECT uuid FROM shop ORDER BY id LIMIT 1").scalar_one()
    here = uuid.UUID(name)
    sequence = "(SELECT count(*) + 1 FROM press AS own WHERE own.bench_id = newest.bench_id)"
    press = f"""INSERT INTO press (uuid, what, undoable, moved_us, order_us, sequence, {COPIED})
        SELECT ?, ?, 0, 0, ?, {sequence}, {COPIED} FROM press AS newest WHERE id = ?"""  # noqa: S608  # ours
    values = (str(uuid.uuid5(here, WHAT)), WHAT, newest.order_us + 1, newest.id)
    press_id = connection.exec_driver_sql(press, values).lastrowid
    _tools(connection, press_id)
    _words(connection, press_id, here)


Row = dict[str, Any]


def _write_line(connection: sa.Connection, press_id: int, thing: str, before: Row | None, after: Row) -> None:
    line = "INSERT INTO journal (press_id, thing, number, before, after, version) VALUES (?, ?, ?, ?, ?, 2)"
    sides = (
        None if row is None else json.dumps(row, separators=(",", ":"), ensure_ascii=False) for row in (before, after)
    )
    connection.exec_driver_sql(line, (press_id, thing, after["id"], *sides))


def _tools(connection: sa.Connection, press_id: int) -> None:
    """Have each tool set to what its newest load was."""
    for row in connection.exec_driver_sql(SET_TO).mappings().all():
        before = {name: value for name, value in row.items() if name != "newest"}
        before["put_away"] = bool(before["put_away"])
        connection.exec_driver_sql("UPDATE tool SET setting_now = ? WHERE id = ?", (row["newest"], row["id"]))
        _write_line(connection, press_id, "tool", before, before | {"setting_now": row["newest"]})


def _words(connection: sa.Connection, press_id: int, here: uuid.UUID) -> None:
    """Have a few words for notes; a copy that was taken along gets the same ones."""
    for position, word in enumerate(NOTE_WORDS):
        row = {"id": position + 1, "uuid": str(uuid.uuid5(here, f"note word {word}"))}
        _add(connection, press_id, "note_word", row | {"name": word, "position": position, "put_away": False})


def _pairs(connection: sa.Connection) -> None:
    """Name the pairs by hand that overlap because the maker said so of one of them."""
    for number, (one, other, first, second) in enumerate(connection.exec_driver_sql(AT_ONCE).all(), 1):
        row = {"id": number, "uuid": str(uuid.uuid5(uuid.UUID(first), second))}
        press_id = max(connection.exec_driver_sql(MADE_BY, (interval,)).scalar_one() for interval in (one, other))
        _add(connection, press_id, "both", row | {"interval_id": one, "other_id": other})


def _add(connection: sa.Connection, press_id: int, table: str, row: Row) -> None:
    names, marks = ", ".join(row), ", ".join("?" * len(row))
    connection.exec_driver_sql(f"INSERT INTO {table} ({names}) VALUES ({marks})", tuple(map(_plain, row.values())))  # noqa: S608  # ours
    _write_line(connection, press_id, table, None, row)


def _plain(value: Any) -> Any:
    return int(value) if isinstance(value, bool) else value
