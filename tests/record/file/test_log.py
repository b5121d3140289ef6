"""The log of a record: presses go into it alone, a pause puts it away, and it stays small without one."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from itertools import pairwise
from typing import TYPE_CHECKING

from shopclock.record.file.engine import connect_reader, log_of
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.values.entities import Batch
from tests.record.on_disk import DiskShop

if TYPE_CHECKING:
    from pathlib import Path

LOG_BYTES = 16_480_000
"""4,000 pages of 4,096 bytes, each with the head of a frame (SQLite, "WAL Format": 24 bytes)."""


def batches_in_the_file_alone(shop: DiskShop, folder: Path) -> int:
    """So many batches has a record that lost its log."""
    alone = shutil.copy(shop.path, folder / "alone")
    with closing(sqlite3.connect(alone)) as connection:
        return int(connection.execute("SELECT count(*) FROM batch").fetchone()[0])


def test_presses_go_into_the_log_alone_until_a_pause_puts_it_away(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path)
    shop.record.rest()
    for _ in range(60):
        shop.new_batch(7)
    assert log_of(shop.path).stat().st_size > 1_000 * 4_096  # SQLite's own limit, at which a press would pay
    assert batches_in_the_file_alone(shop, tmp_path) == 0
    shop.record.rest()
    assert batches_in_the_file_alone(shop, tmp_path) == 60
    size = log_of(shop.path).stat().st_size
    shop.new_batch(7)
    assert log_of(shop.path).stat().st_size <= size  # the log begins anew
    shop.close()
    assert not log_of(shop.path).exists()


def test_without_a_pause_the_log_stays_small(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path)
    sizes = []
    for _ in range(320):
        shop.new_batch(40)
        sizes.append(log_of(shop.path).stat().st_size)
    most_of_a_press = max(after - before for before, after in pairwise(sizes))
    assert LOG_BYTES < max(sizes) <= LOG_BYTES + most_of_a_press
    shop.close()


def test_a_pause_leaves_in_the_log_what_a_reader_still_needs(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path)
    with closing(connect_reader(shop.path)) as reader:
        reader.execute("BEGIN")
        count = "SELECT count(*) FROM batch"
        assert reader.execute(count).fetchone() == (0,)
        shop.new_batch(7)
        shop.record.rest()
        shop.new_batch(7)
        assert reader.execute(count).fetchone() == (0,)
    shop.record.rest()
    shop.close()
    with ReadOnlyRecord.open(shop.path) as reading:
        assert len(list(reading.floor.all(Batch))) == 2
