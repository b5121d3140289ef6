"""Copies of a record: made whole, checked, thinned, brought back; never in the way."""

import signal
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import ClassVar

import pytest

from shopclock.record.check.check import check
from shopclock.record.check.rebuild import differences
from shopclock.record.copies import copying, daily, restoring
from shopclock.record.copies.restoring import Lost
from shopclock.record.file import copy_files, opening
from shopclock.record.file.copy_files import Keeps
from shopclock.record.file.error_text import Damaged
from shopclock.record.press.record import Record
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import Stopped, Unwatched
from shopclock.shop.work import begin
from tests.faults.disks import fill, read_only, small_disk
from tests.plenty import IN_CI
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ToyClock

DAY_MIN = 24 * 60
ROOT = Path(__file__).parents[3]
EACH = 3 if IN_CI else 1
"""At one touch of the disk in so many it is killed."""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = DiskShop(tmp_path, 3)
    yield made
    made.close()


def kept(shop: DiskShop) -> copying.CopyMade:
    made = daily.keep_copy(shop.path, shop.clock.now_us)
    assert made is not None
    return made


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def spoil(path: Path) -> None:
    """Turn over a page in the middle."""
    data = bytearray(path.read_bytes())
    middle = len(data) // 8192 * 4096
    data[middle : middle + 4096] = bytes(byte ^ 0xFF for byte in data[middle : middle + 4096])
    path.write_bytes(data)


def test_a_copy_is_the_record_to_the_last_row_and_stands_alone(shop: DiskShop) -> None:
    made = kept(shop)
    assert differences(shop.path, made.path) == {}
    assert made.trouble == ""
    assert made.path.parent == copy_files.usual_folder(shop.path)
    assert made.path.stat().st_mode & 0o777 == 0o600
    assert [n for n in names(made.path.parent) if n.startswith(".") or n.endswith((".part", "-journal"))] == []
    assert check(made.path) == []


def test_nothing_new_needs_no_new_copy_and_a_press_does(shop: DiskShop) -> None:
    kept(shop)
    shop.clock.on(DAY_MIN)
    assert daily.keep_copy(shop.path, shop.clock.now_us) is None
    shop.new_batch(2)
    assert differences(shop.path, kept(shop).path) == {}


def test_copies_are_thinned_and_those_of_another_shop_in_the_folder_are_left(shop: DiskShop, tmp_path: Path) -> None:
    folder = tmp_path / "stick" / "copies"
    folder.mkdir(parents=True)
    copy_files.write_keeps(shop.path, Keeps(str(folder)))
    other = folder / copy_files.name_of(shop.path, shop.clock.now_us, "0" * 32)
    other.touch()
    for _ in range(20):
        shop.clock.on(DAY_MIN)
        shop.new_batch(1)
        kept(shop)
    found = copy_files.copies_in(folder, shop.path)
    ours = [copy for copy in found if copy.path != other]
    assert other.exists()
    assert 14 <= len(ours) <= 18
    assert ours[0].at_us == shop.clock.now_us // 1_000_000 * 1_000_000


def test_a_stick_that_is_gone_is_said_and_the_copy_lies_beside_the_record(shop: DiskShop, tmp_path: Path) -> None:
    copy_files.write_keeps(shop.path, Keeps(str(tmp_path / "gone" / "copies")))
    made = kept(shop)
    assert made.path.parent == copy_files.usual_folder(shop.path)
    assert "is not there" in made.trouble
    assert copy_files.read_keeps(shop.path).trouble == made.trouble
    (tmp_path / "gone").mkdir()
    shop.new_batch(1)
    assert kept(shop).trouble == ""
    assert copy_files.read_keeps(shop.path).trouble == ""


def test_a_stick_that_can_only_be_read_is_said(shop: DiskShop, tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    (stick / "copies").mkdir(parents=True)
    copy_files.write_keeps(shop.path, Keeps(str(stick / "copies")))
    with read_only(stick):
        made = kept(shop)
    assert made.path.parent == copy_files.usual_folder(shop.path)
    assert "can't be written to" in made.trouble


def test_a_full_stick_keeps_the_copies_it_has_and_no_half_one(shop: DiskShop, tmp_path: Path) -> None:
    with small_disk(tmp_path / "stick", "1m") as stick:
        copy_files.write_keeps(shop.path, Keeps(str(stick / "copies")))
        first = kept(shop)
        fill(stick)
        shop.new_batch(1)
        shop.clock.on(DAY_MIN)
        made = kept(shop)
        assert made.path.parent == copy_files.usual_folder(shop.path)
        assert "can't be written to" in made.trouble
        assert names(stick / "copies") == [first.path.name]
        assert check(first.path) == []


def test_presses_made_while_it_is_copied_are_not_in_the_copy_and_not_held_up(
    shop: DiskShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    class PressBetween(Unwatched):
        shares: ClassVar[list[float]] = []

        def at(self, done: int, of: int, _words: str) -> None:
            if of:
                self.shares.append(done / of)
            if len(self.shares) <= 3:
                shop.new_batch(1)

    before = daily.changed(shop.path)
    monkeypatch.setattr(copying, "SLICE_PAGES", 4)
    made = daily.keep_copy(shop.path, shop.clock.now_us, PressBetween())
    assert made is not None
    assert before
    assert PressBetween.shares == sorted(PressBetween.shares)
    assert PressBetween.shares[-1] == 1
    assert check(made.path) == []
    assert restoring.lost(shop.path, made.path) == Lost(3, 0, 3)


def test_a_copy_that_is_stopped_leaves_nothing_and_is_no_trouble(shop: DiskShop) -> None:
    class StopAtOnce(Unwatched):
        def at(self, *_: object) -> None:
            raise Stopped

    with pytest.raises(Stopped):
        daily.keep_copy(shop.path, shop.clock.now_us, StopAtOnce())
    assert names(copy_files.usual_folder(shop.path)) == []
    assert copy_files.read_keeps(shop.path).trouble == ""


def test_damage_is_found_by_copying_and_pushes_no_good_copy_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = DiskShop(tmp_path, 3)
    good = kept(shop)
    shop.new_batch(1)
    shop.close()
    spoil(shop.path)
    monkeypatch.setattr(opening, "LARGE", 1000)
    with pytest.raises(Damaged, match="is damaged"):
        daily.keep_copy(shop.path, shop.clock.now_us + 1_000_000)
    assert names(good.path.parent) == [good.path.name]
    assert copy_files.read_keeps(shop.path).suspect
    with pytest.raises(Damaged):  # a large record, closed tidily: looked through because it was found out
        Record.open(shop.path, ToyClock())


def test_a_stick_that_spoils_what_it_is_given_is_not_taken_for_a_damaged_record(
    shop: DiskShop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    copy_files.write_keeps(shop.path, Keeps(str(stick / "copies")))
    forget = copying._forget_cached
    monkeypatch.setattr(copying, "_forget_cached", lambda path: spoil(path) if stick in path.parents else forget(path))
    made = kept(shop)
    assert made.path.parent == copy_files.usual_folder(shop.path)
    assert "does not keep what is written to it" in made.trouble
    assert not copy_files.read_keeps(shop.path).suspect
    assert list((stick / "copies").iterdir()) == []


def test_a_damaged_record_is_kept_and_the_newest_good_copy_takes_its_place(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 3)
    good = kept(shop)
    shop.clock.on(DAY_MIN)
    shop.new_batch(1)
    spoil(kept(shop).path)
    shop.close()
    spoil(shop.path)
    damaged = shop.path.read_bytes()
    found = restoring.newest_good(shop.path)
    assert found is not None
    assert found.path == good.path
    assert restoring.lost(shop.path, found.path) is None
    aside = restoring.restore(shop.path, found.path, shop.clock.now_us)
    assert aside is not None
    assert aside.read_bytes() == damaged
    assert differences(shop.path, good.path) == {}
    shop.again()
    shop.new_batch(2)
    shop.close()
    assert check(shop.path) == []


def test_bringing_back_says_what_is_lost_and_keeps_a_copy_of_it(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 3)
    good = kept(shop)
    shop.clock.on(5)
    shop.new_batch(1)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.close()
    assert restoring.lost(shop.path, good.path) == Lost(2, 1, 1)
    before = restoring.restore(shop.path, good.path, shop.clock.now_us)
    assert before is not None
    assert differences(shop.path, good.path) == {}
    assert restoring.lost(before, shop.path) == Lost(2, 1, 1)
    again = restoring.restore(shop.path, before, shop.clock.now_us + 60_000_000)
    assert again is not None
    assert differences(shop.path, before) == {}
    assert check(shop.path) == []


def test_a_record_that_is_open_is_not_taken_from_under_its_window(shop: DiskShop) -> None:
    made = kept(shop)
    shop.new_batch(1)
    with pytest.raises(ShopError, match="is open in a window or program"):
        restoring.restore(shop.path, made.path, shop.clock.now_us)
    shop.new_batch(1)
    assert restoring.lost(shop.path, made.path) == Lost(2, 0, 2)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("UPDATE shop SET zone = ''", "The shop's time zone is '', which is none."),
        ("UPDATE interval SET end_us = end_us + 7200000000 WHERE end_us IS NOT NULL", "is not sound:"),
        ("UPDATE piece SET position = 7 WHERE id = 1", "The journal gives other rows of piece"),
    ],
)
def test_a_copy_that_its_journal_does_not_make_does_not_come_back(shop: DiskShop, change: str, said: str) -> None:
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.press(begin.stop)
    made = kept(shop)
    shop.close()
    with closing(sqlite3.connect(made.path)) as connection, connection:
        connection.execute(change)
    before = shop.path.read_bytes()
    with pytest.raises(ShopError, match=said) as refused:
        restoring.restore(shop.path, made.path, shop.clock.now_us)
    assert str(refused.value).endswith("Nothing was changed. Take another copy.")
    assert shop.path.read_bytes() == before


def test_only_a_copy_of_this_shop_comes_back(tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    shop, other = DiskShop(tmp_path, 3), DiskShop(tmp_path / "other", 2)
    shop.close()
    other.close()
    text = tmp_path / "letter"
    text.write_text("no record", encoding="utf-8")
    before = shop.path.read_bytes()
    for wrong, said in (
        (other.path, "is the record of another shop"),
        (text, "is not a record of this program"),
        (tmp_path / "none", "There is no copy"),
        (shop.path, "is the record itself"),
    ):
        with pytest.raises(ShopError, match=said):
            restoring.restore(shop.path, wrong, shop.clock.now_us)
    assert shop.path.read_bytes() == before


def test_no_room_to_bring_a_copy_back_leaves_the_record_as_it_was(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "3m") as disk:
        shop = DiskShop(disk, 3)
        elsewhere = tmp_path / "copy.shopclock"
        copying.copy_to(shop.path, elsewhere)
        shop.new_batch(2)
        shop.close()
        before = shop.path.read_bytes()
        hog = fill(disk)
        with pytest.raises(ShopError, match=r"can't be written to|is full|gave an error"):
            restoring.restore(shop.path, elsewhere, shop.clock.now_us)
        assert shop.path.read_bytes() == before
        hog.unlink()
        restoring.restore(shop.path, elsewhere, shop.clock.now_us)
        assert differences(shop.path, elsewhere) == {}


KILLED = """
import os, signal, sys
from pathlib import Path
from shopclock.record.copies import copying, daily, restoring
calls = 0
def count(*_):
    global calls
    calls += 1
    if calls == int(sys.argv[3]):
        os.kill(os.getpid(), signal.SIGKILL)
WANTED = {"open", "os.rename", "os.remove", "sqlite3.connect", "os.link", "os.mkdir"}
sys.addaudithook(lambda event, _: count() if event in WANTED else None)
record, copy = Path(sys.argv[1]), sys.argv[2]
if copy == "-":
    daily.keep_copy(record, 1_700_000_000_000_000)
else:
    restoring.restore(record, Path(copy), 1_800_000_000_000_000)
"""


def kill_after(n: int, record: Path, copy: str) -> bool:
    """Copy, or bring a copy back, and be killed at the n-th touch of the disk; False when it ended before."""
    command = [sys.executable, "-c", KILLED, str(record), copy, str(n)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode in (0, -signal.SIGKILL), done.stderr
    return done.returncode != 0


@pytest.mark.long
@pytest.mark.parametrize("damaged", [False, True])
def test_killed_at_any_instant_of_bringing_back_it_is_the_one_record_or_the_other(
    tmp_path: Path, damaged: bool
) -> None:
    shop = DiskShop(tmp_path, 3)
    copy = tmp_path / "a copy.shopclock"
    copying.copy_to(shop.path, copy)
    shop.new_batch(2)
    shop.close()
    as_it_was = tmp_path / "as it was"
    copying.copy_to(shop.path, as_it_was)
    if damaged:
        spoil(shop.path)
    original = shop.path.read_bytes()
    n = 1
    while kill_after(n, shop.path, str(copy)):
        if shop.path.read_bytes() != original:
            whole = [one for one in (as_it_was, copy) if differences(shop.path, one) == {}]
            assert len(whole) == 1, n
            shop.path.with_name(f"{shop.path.name}-journal").unlink(missing_ok=True)
            shop.path.write_bytes(original)
        n += EACH
    assert n > 8
    assert differences(shop.path, copy) == {}


@pytest.mark.long
def test_killed_at_any_instant_of_copying_no_half_copy_passes_for_one(shop: DiskShop) -> None:
    folder, n, half = copy_files.usual_folder(shop.path), 1, 0
    while kill_after(n, shop.path, "-"):
        n += EACH
        half += len(list(folder.glob("*.part")))
        assert all(check(copy.path) == [] for copy in copy_files.copies_of(shop.path))
    assert half
    assert [path for path in folder.iterdir() if ".part" in path.name] == []


def test_a_copy_named_by_the_maker_is_written_whole(shop: DiskShop, tmp_path: Path) -> None:
    target = tmp_path / "mine.shopclock"
    copying.copy_to(shop.path, target)
    assert differences(shop.path, target) == {}
    with pytest.raises(ShopError, match="can't be the copy"):
        copying.copy_to(shop.path, shop.path)
    with pytest.raises(ShopError, match="There is no folder"):
        copying.copy_to(shop.path, tmp_path / "none" / "copy")
    with closing(Record.open(target, ToyClock())) as record:
        assert record.floor.open_batches()
