"""An older record is brought up step by step, after a copy, or stays as it was and says so."""

import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest
import sqlalchemy as sa

from shopclock.record.check.check import check
from shopclock.record.check.rebuild import differences
from shopclock.record.file import migrate, schema
from shopclock.record.file.engine import writer
from shopclock.record.press.record import Record
from shopclock.shop.values.errors import ShopError
from tests.record import freeze
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ToyClock

NEXT = schema.VERSION + 1
Master = list[tuple[str, str, str, str]]

FIRST = "33030775d60968c35dd979c344219f81a12dd1e1d62db7aa416e6e135d87c41b"
"""The tables of version 1, byte by byte."""

# A next version that makes a table anew that others point at: with pointers watched, their rows would be lost.
GOOD = """
from alembic import op
revision, down_revision = "3", "2"
def upgrade():
    op.execute("CREATE TABLE new_pattern (id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, uuid TEXT NOT NULL UNIQUE,"
               " name TEXT NOT NULL, outline TEXT NOT NULL, put_away INTEGER NOT NULL, length_mm REAL) STRICT")
    op.execute("INSERT INTO new_pattern SELECT id, uuid, name, outline, put_away, NULL FROM pattern")
    op.execute("DROP TABLE pattern")
    op.execute("ALTER TABLE new_pattern RENAME TO pattern")
"""
FAILS = f"{GOOD}    raise RuntimeError('no more')\n"
LOSES = f"{GOOD}    op.execute('DELETE FROM batch')\n"  # noqa: S608 - no words from outside


def master(path: Path) -> Master:
    """Every table, index and trigger, however its words are spaced."""
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("SELECT type, name, tbl_name, coalesce(sql, '') FROM sqlite_master").fetchall()
    return sorted((kind, name, table, "".join(sql.split())) for kind, name, table, sql in rows)


def scripts_with(folder: Path, third: str) -> Path:
    scripts = folder / "scripts"
    shutil.copytree(migrate.SCRIPTS, scripts)
    (scripts / "versions" / "v0003_next.py").write_text(third, encoding="utf-8")
    return scripts


def bring_up(path: Path, scripts: Path) -> None:
    engine = writer(path)
    try:
        migrate.migrate(engine, path, schema.VERSION, to=NEXT, scripts=scripts)
    finally:
        engine.dispose()


def version_of(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("PRAGMA user_version").fetchone()[0])


def empty_first(path: Path) -> None:
    """A record from before the first version: ours by its head, without a table."""
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
        connection.execute("PRAGMA user_version = 0")
        connection.execute("VACUUM")


@pytest.fixture
def shop(tmp_path: Path) -> DiskShop:
    made = DiskShop(tmp_path, 3)
    made.record.close()
    return made


def test_all_steps_from_an_empty_file_make_the_tables_of_a_new_record(tmp_path: Path) -> None:
    stepped, made = tmp_path / "stepped", tmp_path / "made"
    empty_first(stepped)
    for path in (stepped, made):
        Record.open(path, ToyClock(), make=True).close()
    assert master(stepped) == master(made)
    assert version_of(stepped) == schema.VERSION
    assert check(stepped) == []


def test_the_second_version_is_written_down_as_it_is_now() -> None:
    assert freeze.FILE.read_text(encoding="utf-8") == freeze.tables_now(), (
        "version 2 has changed: tests/record/freeze.py"
    )


def test_the_first_version_stays_as_it_was_published() -> None:
    assert sha256(freeze.FIRST.read_bytes()).hexdigest() == FIRST


def test_a_step_keeps_every_row_and_every_pointer(shop: DiskShop, tmp_path: Path) -> None:
    with closing(sqlite3.connect(shop.path)) as connection:
        before = connection.execute("SELECT * FROM pattern").fetchall()
        steps = connection.execute("SELECT * FROM step").fetchall()
    bring_up(shop.path, scripts_with(tmp_path, GOOD))
    with closing(sqlite3.connect(shop.path)) as connection:
        assert connection.execute("SELECT * FROM pattern").fetchall() == [(*row, None) for row in before]
        assert connection.execute("SELECT * FROM step").fetchall() == steps
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    assert version_of(shop.path) == NEXT


def test_the_copy_made_before_is_the_record_as_it_was(shop: DiskShop, tmp_path: Path) -> None:
    kept = tmp_path / "kept"
    shutil.copy(shop.path, kept)
    bring_up(shop.path, scripts_with(tmp_path, GOOD))
    copy = migrate.copy_before(shop.path, NEXT)
    assert copy.name == f"{shop.path.name}.before-v{NEXT}"
    assert copy.stat().st_mode & 0o777 == 0o600
    assert differences(kept, copy) == {}
    assert not list(tmp_path.glob("*.part"))


@pytest.mark.parametrize(("script", "said"), [(FAILS, "no more"), (LOSES, "point at nothing")])
def test_a_failing_step_leaves_the_record_as_it_was_and_says_so(
    shop: DiskShop, tmp_path: Path, script: str, said: str
) -> None:
    kept = tmp_path / "kept"
    shutil.copy(shop.path, kept)
    tables = master(shop.path)
    with pytest.raises(ShopError, match=f"{said}.*It is as it was; a copy lies at"):
        bring_up(shop.path, scripts_with(tmp_path, script))
    assert version_of(shop.path) == schema.VERSION
    assert master(shop.path) == tables
    assert differences(kept, shop.path) == {}


def test_after_a_failing_step_pointers_are_watched_again(shop: DiskShop, tmp_path: Path) -> None:
    engine = writer(shop.path)
    with pytest.raises(ShopError):
        migrate.migrate(engine, shop.path, schema.VERSION, to=NEXT, scripts=scripts_with(tmp_path, FAILS))
    with pytest.raises(sa.exc.IntegrityError), engine.begin() as connection:
        connection.exec_driver_sql("DELETE FROM batch")
    engine.dispose()


def test_a_record_of_this_version_opens_without_the_library_for_steps(shop: DiskShop) -> None:
    told = (
        "import sys; from pathlib import Path; from shopclock.record.press.record import Record;"
        "from shopclock.shop.values.clock import SystemClock; Record.open(Path(sys.argv[1]), SystemClock()).close();"
        "print('alembic' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", told, shop.path], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
