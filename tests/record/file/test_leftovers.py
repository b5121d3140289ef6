"""What a program that was killed left half done is gone at the next start; what is being written stays."""

from __future__ import annotations

import os
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.copies.copying import copy_to
from shopclock.record.copies.daily import keep_copy
from shopclock.record.copies.restoring import restore
from shopclock.record.file import heartbeat
from shopclock.record.file.engine import log_of
from shopclock.record.file.leftovers import clear_leftovers, lone_log
from shopclock.record.file.lock import RecordLock
from shopclock.record.file.opening import has_log_of_another_state, holds_nothing
from shopclock.record.file.parts import part_of
from shopclock.record.file.place import state_folder
from shopclock.record.press.record import Record
from shopclock.shop.values.errors import ShopError
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ToyClock

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

NOW_US = 1_796_000_000_000_000


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    shop = DiskShop(tmp_path, 3)
    shop.close()
    keep_copy(shop.path, NOW_US)
    return shop.path


def files(path: Path) -> list[str]:
    return sorted(str(found.relative_to(path.parent)) for found in path.parent.rglob("*") if "state" not in str(found))


def test_leftovers_go_and_nothing_else(path: Path) -> None:
    before = files(path)
    copies = path.parent / "shop copies"
    for folder in (path.parent, copies):
        for tail in ("", "-journal", "-wal", "-shm"):
            (folder / f".shop 2026-11-25 191407 3fa91c2e-abc123.part{tail}").write_bytes(b"half a record")
        (folder / ".shop-gone12.part-journal").write_bytes(b"of one that is gone")
    (copies / "shop 2025-01-01 101010 3fa91c2e.shopclock-wal").touch()
    for name in ("shop.shopclock.life-new", ".shop.shopclock.copies-x1y2", "shop.shopclock.before-v2.part"):
        (path.parent / name).write_bytes(b"half")
    clear_leftovers(path)
    assert files(path) == before
    assert check(path) == []


def test_what_is_being_written_and_what_is_anothers_stays(path: Path) -> None:
    others = path.parent / ".letters-abc.part"
    others.write_bytes(b"of another program")
    with part_of(path.parent / "shop copies" / "shop 2026") as part:
        clear_leftovers(path)
        assert part.exists()
    assert not part.exists()
    assert others.exists()


def test_locks_of_programs_that_ended_go(path: Path) -> None:
    folder = state_folder() / "locks"
    mine = RecordLock(path)
    assert mine.take() is None
    (folder / "of an earlier boot").touch()
    clear_leftovers(path)
    assert len(list(folder.iterdir())) == 1
    mine.release()


def test_a_copy_that_failed_leaves_no_folder(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    empty = path.parent / "shop copies"
    for copy in empty.iterdir():
        copy.unlink()
    clear_leftovers(path)
    assert not empty.exists()


def _zero_bytes(path: Path) -> None:
    path.write_bytes(b"")


def _only_zeroes(path: Path) -> None:
    path.write_bytes(bytes(4096))


def _a_head_alone(path: Path) -> None:
    """As version 1 left it where it was killed between the head and the tables."""
    import sqlite3

    path.unlink(missing_ok=True)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA user_version = 0")


def _gone(path: Path) -> None:
    path.unlink()


HALF_MADE = [_gone, _zero_bytes, _only_zeroes, _a_head_alone]


@pytest.mark.parametrize("half", HALF_MADE)
def test_what_is_no_record_is_no_obstacle(path: Path, half: Callable[[Path], None]) -> None:
    half(path)
    assert holds_nothing(path)
    with pytest.raises(ShopError, match="There is no record"):
        Record.open(path, ToyClock())
    Record.open(path, ToyClock(), make=True).close()
    assert check(path) == []


@pytest.mark.parametrize("half", HALF_MADE)
def test_a_copy_comes_back_over_what_is_no_record(path: Path, half: Callable[[Path], None], tmp_path: Path) -> None:
    copy_to(path, tmp_path / "copy")
    half(path)
    assert restore(path, tmp_path / "copy", NOW_US) is None
    with closing(Record.open(path, ToyClock())) as record:
        assert record.floor.running == {}
    assert check(path) == []


@pytest.mark.parametrize("half", [_gone, _zero_bytes])
def test_a_log_whose_record_is_gone_is_kept_and_read_with_no_other(path: Path, half: Callable[[Path], None]) -> None:
    half(path)
    log_of(path).write_bytes(b"what was pressed last" * 100)
    assert lone_log(path) == log_of(path)
    Record.open(path, ToyClock(), make=True).close()
    assert check(path) == []
    assert path.with_name("shop.shopclock-wal.left").read_bytes() == b"what was pressed last" * 100


def test_a_new_record_is_its_owners_alone_in_folders_that_are_too(tmp_path: Path) -> None:
    path = tmp_path / "a" / "b" / "shop.shopclock"
    umask = os.umask(0)
    try:
        Record.open(path, ToyClock(), make=True).close()
    finally:
        os.umask(umask)
    assert path.stat().st_mode & 0o777 == 0o600
    assert path.parent.stat().st_mode & 0o777 == path.parent.parent.stat().st_mode & 0o777 == 0o700


def test_an_older_state_put_beside_the_log_of_a_killed_program_opens_without_it(tmp_path: Path) -> None:
    """The log of what was killed would be read with any file: half of both is no record."""
    shop = DiskShop(tmp_path, 3)
    shop.record.rest()
    older = shop.path.read_bytes()
    for n in range(4):
        shop.new_batch(n + 1)
    shop.record.rest()
    shop.new_batch(5)
    shop.record.give_sign(shop.clock.moment())
    log, sign = log_of(shop.path).read_bytes(), heartbeat.place(shop.path).read_bytes()
    shop.close()
    path = tmp_path / "again" / shop.path.name
    path.parent.mkdir()
    for place, data in ((path, older), (log_of(path), log), (heartbeat.place(path), sign)):
        place.write_bytes(data)
    assert has_log_of_another_state(path)
    with pytest.raises(ShopError, match="is of another state of it"):
        check(path)
    assert path.read_bytes() == older
    with closing(Record.open(path, ToyClock())) as record:
        assert len(list(record.floor.open_batches())) == 1
    assert check(path) == []
    assert path.with_name("shop.shopclock-wal.left").read_bytes() == log


def test_a_log_that_belongs_to_the_file_is_read_whatever_the_sign_of_life_says(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 3)
    shop.record.give_sign(shop.clock.moment())
    sign = heartbeat.place(shop.path).read_bytes()
    shop.new_batch(4)
    shop.record.rest()
    shop.new_batch(5)
    whole, log = shop.path.read_bytes(), log_of(shop.path).read_bytes()
    shop.close()
    path = tmp_path / "again" / shop.path.name
    path.parent.mkdir()
    for place, data in ((path, whole), (log_of(path), log), (heartbeat.place(path), sign)):
        place.write_bytes(data)
    assert not has_log_of_another_state(path)
    with closing(Record.open(path, ToyClock())) as record:
        assert len(list(record.floor.open_batches())) == 3
