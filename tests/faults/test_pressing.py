"""A press that can't be kept says so and changes nothing; one that was shown is never gone."""

import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
import sqlalchemy as sa

from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import begin, finish
from tests.faults.disks import fill, small_disk
from tests.record.on_disk import DiskShop
from tests.shop.sound import things

ROOT = Path(__file__).parents[2]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = DiskShop(tmp_path, 3)
    yield made
    made.record.close()


def uuids(path: Path) -> set[str]:
    with ReadOnlyRecord.open(path) as reading:
        return {row.uuid for row in reading.reads.intervals()}


def test_on_a_full_disk_the_press_is_told_the_floor_stays_and_with_room_it_goes_on(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "2m") as disk, closing(DiskShop(disk, 3)) as shop:
        shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
        hog = fill(disk)
        kept, told = _press_until_full(shop)
        assert told.startswith(f"The disk of {shop.path} is full. The last press was not kept, all before is.")
        assert things(shop.floor) == kept
        with pytest.raises(ShopError, match="is full"):
            shop.undo()
        assert things(shop.floor) == kept
        hog.unlink()
        shop.press(begin.stop)
        shop.again()
        assert not shop.floor.running
        assert check(shop.path) == []


def _press_until_full(shop: DiskShop) -> tuple[object, str]:
    """Press until the disk has no room; what stood on the floor after the last press kept, and what was said."""
    for _ in range(10_000):
        kept = things(shop.floor)
        shop.clock.on(1)
        try:
            shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
        except ShopError as error:
            return kept, str(error)
    raise AssertionError("the disk never was full")


def test_a_press_while_another_program_writes_is_told_and_changes_nothing(shop: DiskShop) -> None:
    before = things(shop.floor)
    with closing(sqlite3.connect(shop.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(ShopError, match="is in use by another program"):
            shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    assert things(shop.floor) == before
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    assert len(shop.floor.running) == 1


def test_a_fault_in_a_rule_changes_nothing(shop: DiskShop) -> None:
    before = things(shop.floor)

    def breaks(tx: object) -> None:
        begin.begin(tx, shop.step("Saw"))  # type: ignore[arg-type]  # a turn is what it is called with
        raise RuntimeError("a fault of ours")

    with pytest.raises(RuntimeError):
        shop.press(breaks)
    assert things(shop.floor) == before
    assert check(shop.path) == []


def test_a_listener_that_fails_does_not_take_the_press_back(shop: DiskShop) -> None:
    def fails() -> None:
        raise RuntimeError("a screen's fault")

    shop.record.on_change(fails)
    with pytest.raises(RuntimeError):
        shop.press(lambda tx: begin.begin(tx, shop.step("Saw")))
    assert {i.uuid for i in shop.floor.all(Interval)} == uuids(shop.path) != set()


def _killed_while_pressing(path: Path, presses: int) -> list[str]:
    """Press in a program of its own, kill it; what it had told as kept."""
    command = [sys.executable, "-m", "tests.faults.press_on", str(path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT, text=True) as running:
        assert running.stdout is not None
        told = [running.stdout.readline().strip() for _ in range(presses)]
        running.send_signal(signal.SIGKILL)
        told += [line.strip() for line in running.stdout if line.endswith("\n")]
    assert running.returncode == -signal.SIGKILL
    return told


@pytest.mark.parametrize("presses", [1, 40])
def test_killed_in_the_middle_everything_that_was_told_is_there(shop: DiskShop, presses: int) -> None:
    shop.record.close()
    told = _killed_while_pressing(shop.path, presses)
    assert len(told) >= presses
    assert shop.path.with_name(f"{shop.path.name}-wal").stat().st_size > 0
    shop.record = Record.open(shop.path, shop.clock)
    assert set(told) <= {i.uuid for i in shop.floor.all(Interval)}
    assert check(shop.path) == []


def test_a_log_spoilt_after_a_kill_loses_no_more_than_its_spoilt_end(shop: DiskShop) -> None:
    shop.record.close()
    told = _killed_while_pressing(shop.path, 40)
    log = shop.path.with_name(f"{shop.path.name}-wal")
    data = bytearray(log.read_bytes())
    data[len(data) * 3 // 4 :] = b"\x5a" * (len(data) - len(data) * 3 // 4)
    log.write_bytes(data)
    shop.record = Record.open(shop.path, shop.clock)
    there = [i.uuid for i in shop.floor.all(Interval)]
    assert told[: len(there)] == there
    assert len(there) > 10
    shop.press(begin.stop)
    assert check(shop.path) == []


def test_a_record_is_read_while_its_window_presses_and_is_never_written_by_it(shop: DiskShop) -> None:
    with ReadOnlyRecord.open(shop.path) as reading:
        rows = reading.reads.intervals()
        assert list(rows) == []
        shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
        shop.clock.on(7)
        streaming = reading.reads.intervals()
        first = next(streaming)
        shop.press(lambda tx: finish.one_done(tx, next(iter(shop.floor.running.values()))))
        shop.press(begin.stop)
        assert first.end_us is None
        streaming.close()
        assert [row.end_us for row in reading.reads.intervals()] == [shop.clock.now_us]
        with reading._engine.connect() as connection, pytest.raises(sa.exc.OperationalError, match="readonly"):
            connection.exec_driver_sql("DELETE FROM share")
