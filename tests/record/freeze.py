"""What version 2 adds to version 1, as SQL, and a small record of it with what this program tells of it.

Until version 2 is published, after each change of tables or figures: .venv/bin/python -m tests.record.freeze. From
then on nothing writes them anew, as nothing does those of version 1.
"""

import json
import lzma
import re
import tempfile
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import sqlalchemy as sa

from shopclock.exchange.workbook.figures_json import figures_json
from shopclock.exchange.workbook.options import ExportOptions
from shopclock.exchange.workbook.sheets import batch_lines
from shopclock.record.file import migrate, schema
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.recovery import clock_answers
from shopclock.shop.values.entities import Both, GapAnswer, Note, Tool
from shopclock.shop.work import acts, begin, finish, pieces
from shopclock.shop.work.batches import close_with
from tests.record.machine import HOUR_US, MINUTE_US, Machine
from tests.record.on_disk import NAME, DiskShop

SECOND = Path(__file__).parent / "file" / "version_2"
RECORD, EXPECTED = SECOND / f"{NAME}.xz", SECOND / "expected.json"
UNDONE = 6
VERSIONS = migrate.SCRIPTS / "versions"
FIRST, FILE = VERSIONS / "v0001_first.sql", VERSIONS / "v0002_standing.sql"
_OF = re.compile(r'CREATE (?:TABLE "?(?P<table>\w+)|.*? ON "?(?P<on>\w+))', re.DOTALL)


def tables_now() -> str:
    """Return what `schema.create` makes of tables that version 1 has otherwise or not at all, with their indexes."""
    before = statements(FIRST.read_text(encoding="utf-8"))
    made = [statement for statement in _made() if statement not in before]
    changed = {table_of(statement) for statement in made if statement.startswith("CREATE TABLE")}
    wanted = (statement for statement in _made() if statement in made or table_of(statement) in changed)
    return "".join(f"{statement}\n;\n" for statement in wanted)


def statements(script: str) -> list[str]:
    """Return the statements of a script, one after another."""
    return [statement for statement in script.split("\n;\n") if statement.strip()]


def table_of(statement: str) -> str:
    """Return the table that a statement makes, or makes something for."""
    found = _OF.match(statement)
    if found is None:
        raise ValueError(statement)
    return str(found["table"] or found["on"])


def _made() -> Iterator[str]:
    """Yield the statements of a new record, without the spaces at the ends of lines."""
    engine = sa.create_engine("sqlite://", poolclass=sa.StaticPool)
    with engine.begin() as connection:
        schema.create(connection)
        made = connection.exec_driver_sql(
            "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%'"
            " ORDER BY type != 'table', type = 'trigger', CASE type WHEN 'table' THEN rowid END, name"
        ).scalars()
        yield from ("\n".join(line.rstrip() for line in sql.strip().splitlines()) for sql in made)


def a_few_evenings(folder: Path) -> Path:
    """Work in two batches, one of them closed; what version 2 keeps; presses taken back, put back, clocks put right."""
    shop = DiskShop(folder, 4, 2, clock=Machine())
    running = lambda: max(shop.floor.running.values(), key=lambda i: i.id)  # noqa: E731  # shorter than a function
    first, second = shop.batches
    saw = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    shop.clock.on(21)
    shop.press(lambda tx: acts.go_on(tx, running()))
    for minutes in (12, 14):
        shop.clock.on(minutes)
        shop.press(lambda tx: finish.one_done(tx, running()))
    bevel = running()
    shop.clock.on(5)
    shop.press(lambda tx: pieces.lose(tx, shop.piece("D"), shop.step("Bevel"), "cracked"))
    shop.clock.on(11)
    shop.press(begin.stop)
    for about in ({"interval_id": bevel.id}, {"piece_id": shop.piece("A").id}, {"batch_id": first.id}):
        shop.press(lambda tx, about=about: tx.add(Note(**about, text="worn belt", at_us=tx.now_us)))
    shop.press(lambda tx: tx.add(Both(interval_id=saw.id, other_id=bevel.id)))
    shop.press(lambda tx: tx.add(GapAnswer(first="2026-11-02", last="2026-11-08", free=True)))
    kiln = shop.press(lambda tx: tx.add(Tool(name="Kiln", capacity=5.0)))
    shop.press(lambda tx: tx.change(replace(tx.current(kiln), name="Oven")))
    shop.record.press("Asked", lambda tx: tx.change(replace(tx.current(kiln), setting_now="200")), by_itself=True)
    shop.undo()
    shop.record.put_clock_right(clock_answers.put_right, shop.clock.moment(), shop.record.instant() + HOUR_US)
    shop.undo()
    shop.record.put_back()
    shop.clock.restart(shop.record.instant() + 20 * HOUR_US)
    shop.again()
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel", second)))
    shop.clock.on(26)
    shop.press(lambda tx: close_with(tx, second, {}, "wider"))
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.clock.on(9)
    shop.press(begin.stop)
    shop.record.put_clock_right(clock_answers.put_right, shop.clock.moment(), shop.record.instant() - 4 * MINUTE_US)
    shop.close()
    return shop.path


def told_of(path: Path) -> Any:
    """Return the figures that a record tells at the instant of its newest press."""
    with ReadOnlyRecord.open(path) as reading:
        now_us = max(reading.newest_us, LATER_US)
        return json.loads(figures_json(reading.floor, batch_lines(reading, ExportOptions(now_us=now_us)), now_us))


LATER_US = 1_796_000_000_000_000


def opened(path: Path) -> Record:
    """Open a record days later."""
    return Record.open(path, Machine(wall_us=LATER_US, boot_id="days later"))


def write_record() -> None:
    """Write the record, and what this program says of it: figures, which presses were taken back, figures then."""
    with tempfile.TemporaryDirectory() as folder:
        path = a_few_evenings(Path(folder))
        SECOND.mkdir(exist_ok=True)
        RECORD.write_bytes(lzma.compress(path.read_bytes(), preset=9))
        expected = {"figures": told_of(path)}
        with closing(opened(path)) as record:
            expected["undone"] = [record.undo() for _ in range(UNDONE)]
        expected["then"] = told_of(path)
        EXPECTED.write_text(f"{json.dumps(expected)}\n", encoding="utf-8")


if __name__ == "__main__":
    FILE.write_text(tables_now(), encoding="utf-8")
    write_record()
