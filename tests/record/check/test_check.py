"""Whatever is wrong in a record is found and said in a sentence; a sound one passes in silence."""

import re
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from shopclock.record.check.check import check, still_running
from shopclock.shop.values.entities import Interval, Method
from shopclock.shop.values.kinds import Kind
from shopclock.shop.work import acts, adjust, amend, begin, finish
from shopclock.shop.work.batches import close_with
from tests.record.on_disk import DiskShop


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Two batches: one closed, in the other a stretch ended, a watch and a wait that run."""
    shop = DiskShop(tmp_path, 3, 2)
    first, second = shop.batches
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel", second)))
    shop.clock.on(9.7)
    shop.press(lambda tx: close_with(tx, second, {}, ""))
    shop.press(lambda tx: begin.begin(tx, shop.step("Saw", first)))
    shop.clock.on(10)
    shop.press(lambda tx: acts.go_on(tx, next(iter(shop.floor.running.values()))))
    shop.clock.on(21)
    shop.press(lambda tx: begin.begin(tx, shop.step("Harden", first), [shop.piece("A").id]))
    shop.clock.on(2)
    shop.press(begin.stop)
    shop.close()
    return shop.path


def test_a_sound_record_has_nothing_wrong(path: Path) -> None:
    assert check(path) == []


def test_a_piece_done_in_what_was_amended_to_a_wait_still_tells_whose_minutes_came_before(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 3)
    bevels = shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.clock.on(10)
    later = shop.press(lambda tx: adjust.use_method(tx, bevels, next(shop.floor.all(Method))))
    shop.clock.on(5)
    shop.press(lambda tx: finish.one_done(tx, later))
    shop.press(begin.stop)
    shop.press(lambda tx: amend.use_kind(tx, shop.floor.get(Interval, later.id), Kind.WAIT))
    assert dict(shop.floor.shares[bevels.id])[shop.piece("A").id] == shop.floor.labour[bevels.id] > 0
    shop.close()
    assert check(shop.path) == []


def test_what_has_no_end_is_listed_apart(path: Path) -> None:
    (running,) = still_running(path)
    assert (running.step, running.pieces, running.end_us, running.labour_us) == ("Harden", ("A",), None, None)


SPOILT = [
    ("UPDATE labour SET us = us + 1 WHERE interval_id = 1", "the labour is .* µs, the time worked"),
    ("UPDATE labour SET us = us + 1 WHERE interval_id = 1", "The minutes of intervals are not what they are"),
    ("DELETE FROM labour", "The minutes of intervals are not what they are"),
    ("UPDATE share SET us = us + 1 WHERE interval_id = 2 AND piece_id = 1", "The shares don't add up to the labour"),
    (
        "UPDATE share SET us = us + CASE piece_id WHEN 1 THEN 1 WHEN 2 THEN -1 ELSE 0 END WHERE interval_id = 2",
        "The minutes of pieces are not what they are when worked out anew: 4 rows.",
    ),
    ("UPDATE stage_row SET run_us = run_us + 1", "The figures of closed batches are not what they are"),
    ("DELETE FROM stage_row", "The figures of closed batches are not what they are"),
    ("UPDATE interval SET end_us = start_us - 1 WHERE id = 1", "An end lies before its start: interval 1."),
    (
        "UPDATE interval SET start_us = start_us - 60000000 WHERE id = 2",
        "One maker works by hand at two things at once: intervals 1 and 2.",
    ),
    (
        "UPDATE interval SET start_us = start_us - 60000000 WHERE id = 3",
        "A piece is at two steps of one strand at once: interval 3.",
    ),
    ("UPDATE interval SET continues_id = 3 WHERE id = 5", "A stretch goes on as two: interval 3."),
    ("UPDATE interval SET continues_id = 4 WHERE id = 2", "A stretch goes on before it ended: interval 2."),
    ("DELETE FROM interval_piece WHERE interval_id = 2", "A step of a batch is worked without a piece: interval 2."),
    ("UPDATE piece SET number = '7' WHERE id = 1", "The journal gives other rows of piece than the record has"),
    ("INSERT INTO word VALUES (99, 'x', 'y', 'z', 'z')", "The journal gives other rows of word than the record has"),
    ("DELETE FROM tally", "The journal gives other rows of tally than the record has"),
    ("UPDATE step SET batch_id = 77 WHERE id = 1", "Rows point at something that isn't there"),
    ("UPDATE sqlite_sequence SET seq = 900 WHERE name = 'piece'", "other rows of sqlite_sequence"),
]


@pytest.mark.parametrize(("change", "said"), SPOILT)
def test_whatever_is_wrong_is_said(path: Path, change: str, said: str) -> None:
    with closing(sqlite3.connect(path)) as connection, connection:
        done = connection.execute(change)
        assert done.rowcount > 0
    assert re.search(said, "\n".join(check(path)))
