"""The journal: nobody changes it, every change is in it, it builds the record again."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from itertools import pairwise
from pathlib import Path

import pytest

from shopclock.record.check.rebuild import differences, rebuild
from shopclock.record.file.engine import copy
from shopclock.record.press.record import Record
from shopclock.shop.state import settings
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import acts, begin, finish, pieces
from shopclock.shop.work.batches import close_with
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ToyClock


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = DiskShop(tmp_path, 3)
    made.press(lambda tx: begin.begin(tx, made.step("Bevel")))
    made.clock.on(7)
    made.press(lambda tx: finish.one_done(tx, next(iter(made.floor.running.values()))))
    yield made
    made.close()


@pytest.mark.parametrize("table", ["journal", "press"])
@pytest.mark.parametrize(
    "change",
    [
        "UPDATE {0} SET id = id + 1000 WHERE id = 1",
        "UPDATE {0} SET {1} = 'x'",
        "DELETE FROM {0}",
        "DELETE FROM {0} WHERE id = (SELECT max(id) FROM {0})",
        "INSERT OR REPLACE INTO {0} SELECT * FROM {0} WHERE id = 1",
        "REPLACE INTO {0} SELECT * FROM {0} WHERE id = 2",
        "INSERT INTO {0} SELECT * FROM {0} WHERE id = 1",
        "INSERT OR IGNORE INTO {0} SELECT * FROM {0} WHERE id = 1",
        "UPDATE OR REPLACE {0} SET id = 2 WHERE id = 1",
    ],
)
@pytest.mark.parametrize("recursive", ["ON", "OFF"])
def test_the_database_refuses_to_change_what_was_written_down(
    shop: DiskShop, table: str, change: str, recursive: str
) -> None:
    column = {"journal": "thing", "press": "what"}[table]
    with closing(sqlite3.connect(shop.path, isolation_level=None)) as connection:
        connection.execute(f"PRAGMA recursive_triggers = {recursive}")
        before = connection.execute(f"SELECT * FROM {table} ORDER BY id").fetchall()  # noqa: S608 - our own two names
        with pytest.raises(sqlite3.IntegrityError, match=f"the {table} is never changed"):
            connection.execute(change.format(table, column))
        assert connection.execute(f"SELECT * FROM {table} ORDER BY id").fetchall() == before  # noqa: S608 - the same


@pytest.mark.parametrize(
    "change",
    [
        "DELETE FROM {0}",
        "UPDATE {0} SET press_id = 1",
        "INSERT INTO {0} SELECT * FROM {0}",
        "REPLACE INTO {0} SELECT * FROM {0}",
    ],
)
@pytest.mark.parametrize(
    ("table", "row"), [("taken_back", "(3, 2)"), ("clock_move", "(3, 1790000000000000, NULL, 60000000)")]
)
def test_nor_what_a_press_takes_back_or_moves(shop: DiskShop, table: str, row: str, change: str) -> None:
    with closing(sqlite3.connect(shop.path, isolation_level=None)) as connection:
        connection.execute(f"INSERT INTO {table} VALUES {row}")  # noqa: S608 - our own words
        with pytest.raises(sqlite3.IntegrityError, match=f"the {table} is never changed"):
            connection.execute(change.format(table))


def test_each_press_has_a_number_of_its_bench_and_its_place_comes_after_all_before(shop: DiskShop) -> None:
    shop.clock.now_us -= 3_600_000_000
    shop.undo()
    shop.again()
    shop.press(lambda tx: settings.set_value(tx, settings.THEME, "paper"))
    with closing(sqlite3.connect(shop.path)) as connection:
        rows = connection.execute("SELECT id, bench_id, sequence, order_us, at_us FROM press ORDER BY id").fetchall()
        columns = "bench_id, maker_id, what, at_us, wall_us, boot_us, awake_us, boot_id, offset_min, undoable"
        with pytest.raises(sqlite3.IntegrityError, match="UNIQUE"):
            connection.execute(
                f"INSERT INTO press (uuid, moved_us, order_us, sequence, {columns})"  # noqa: S608 - our own words
                f" SELECT 'another', 0, order_us + 9, sequence, {columns} FROM press WHERE id = 2"
            )
    assert [row[2] for row in rows] == list(range(1, len(rows) + 1))
    places = [row[3] for row in rows]
    assert all(one < other for one, other in pairwise(places))
    assert all(row[3] >= row[4] for row in rows)


def a_full_evening(shop: DiskShop) -> None:
    """Settings, a loss, an undo, a batch closed and its close taken back, what is open left open."""
    shop.press(lambda tx: settings.set_value(tx, settings.THEME, "paper"))
    shop.press(lambda tx: pieces.lose(tx, shop.piece("C"), shop.step("Bevel"), "dropped"))
    shop.undo()
    shop.press(lambda tx: acts.go_on(tx, next(iter(shop.floor.running.values()))))
    second = shop.new_batch(2)
    shop.press(lambda tx: begin.begin(tx, shop.step("Sharpen", second)))
    shop.clock.on(20)
    shop.press(lambda tx: close_with(tx, second, {}, "thinner"))
    shop.press(lambda tx: close_with(tx, shop.batches[0], {}, "wider"))
    shop.undo()
    work = next(s for s in shop.floor.all(Stage) if s.shop_work)
    shop.press(lambda tx: begin.begin_shop_work(tx, work))


def test_it_builds_the_record_again_to_the_last_row(shop: DiskShop, tmp_path: Path) -> None:
    a_full_evening(shop)
    rebuild(shop.path, tmp_path / "again")
    assert differences(shop.path, tmp_path / "again") == {}
    assert (tmp_path / "again").stat().st_mode & 0o777 == 0o600


def test_on_from_a_copy_it_builds_the_same(shop: DiskShop, tmp_path: Path) -> None:
    (tmp_path / "base").touch()
    copy(shop.path, tmp_path / "base")
    a_full_evening(shop)
    rebuild(shop.path, tmp_path / "again", tmp_path / "base")
    assert differences(shop.path, tmp_path / "again") == {}


def test_a_record_built_again_goes_on_without_giving_a_number_twice(shop: DiskShop, tmp_path: Path) -> None:
    shop.undo()
    shop.undo()
    rebuild(shop.path, tmp_path / "again")
    again = Record.open(tmp_path / "again", shop.clock)
    ours = shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    theirs, _ = again.press("press", lambda tx: begin.begin(tx, shop.step("Saw")))
    assert ours.id == theirs.id == 2
    again.close()


def test_it_is_never_built_over_a_file(shop: DiskShop, tmp_path: Path) -> None:
    (tmp_path / "there").write_text("a letter", encoding="utf-8")
    with pytest.raises(ShopError, match=r"is there already. Nothing was changed"):
        rebuild(shop.path, tmp_path / "there")
    assert (tmp_path / "there").read_text(encoding="utf-8") == "a letter"


def test_a_difference_in_one_row_is_found(shop: DiskShop, tmp_path: Path) -> None:
    (tmp_path / "other").touch()
    copy(shop.path, tmp_path / "other")
    assert differences(shop.path, tmp_path / "other") == {}
    with closing(sqlite3.connect(tmp_path / "other")) as connection, connection:
        connection.execute("UPDATE piece SET uuid = 'x' WHERE id = 1")
    assert differences(shop.path, tmp_path / "other") == {"piece": 2}


def test_a_copy_is_a_whole_record(shop: DiskShop, tmp_path: Path) -> None:
    """What is still in the log comes along: copying the file alone would lose it."""
    (tmp_path / "other").touch()
    copy(shop.path, tmp_path / "other")
    other = Record.open(tmp_path / "other", ToyClock(shop.clock.now_us))
    assert set(other.floor.running) == set(shop.floor.running)
    other.close()
