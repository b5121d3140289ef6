"""All that the program writes is its owner's alone, whatever the umask; exports are read by whom the system lets."""

from __future__ import annotations

import os
import shutil
import stat
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from shopclock.commands.main import main
from shopclock.exchange.notes.notes import NotesAnswers
from shopclock.exchange.notes.notes_in import here_in, preview
from shopclock.mistakes import write_down
from shopclock.record.copies.daily import keep_copy
from shopclock.record.file.copy_files import Keeps, write_keeps
from shopclock.record.file.lock import RecordLock
from shopclock.record.press.record import Record
from shopclock.shop.work import begin
from tests.record.copies.test_copies import spoil
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ToyClock

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

NOTES = "Date;Batch;Pattern;Stage;Time;Qty\n2026-03-07;K1;Oyster;Saw;1:20;6\n"
OUT = ("sheet.xlsx", "sheet.csv", "card.pdf", "review.pdf", "plan.ics")
DAY_MIN = 24 * 60


@pytest.fixture(params=[0o000, 0o022, 0o077])
def umask(request: pytest.FixtureRequest) -> Iterator[int]:
    before = os.umask(request.param)
    yield request.param
    os.umask(before)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    return tmp_path


def modes(top: Path) -> dict[str, int]:
    """The rights of every file and folder below a place, by its name from there."""
    return {str(path.relative_to(top)): stat.S_IMODE(path.lstat().st_mode) for path in top.rglob("*")}


def wide_open(top: Path) -> list[str]:
    return [name for name, mode in modes(top).items() if mode & 0o077]


def an_evening(shop: DiskShop, notes: Path) -> None:
    """Presses, signs of life, a copy, what is remembered of it, and old notes packed and not yet taken."""
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.clock.on(20)
    shop.press(begin.stop)
    shop.record.give_sign(shop.clock.moment())
    assert keep_copy(shop.path, shop.clock.now_us) is not None
    write_keeps(shop.path, Keeps(trouble="none"))
    said = NotesAnswers()
    assert preview(shop.path, notes, said, here_in(shop.record)).parcel is not None


def test_record_log_lock_sign_of_life_copies_and_parcel_are_the_owners_alone(home: Path, umask: int) -> None:
    own = home / "own"
    (home / "notes.csv").write_text(NOTES)
    own.mkdir(0o700)
    shop = DiskShop(own, 3)
    lock = RecordLock(shop.path)
    lock.take()
    an_evening(shop, home / "notes.csv")
    found = modes(own)
    assert wide_open(own) == []
    lock.release()
    shop.close()
    for part in ("shop.shopclock", "-wal", ".life", ".copies", ".parcel", ".lock", "shop copies/"):
        assert any(part in name for name in found), (part, found)
    assert wide_open(own) == []


def test_what_comes_back_from_a_copy_an_archive_or_the_desk_is_the_owners_alone(home: Path, umask: int) -> None:
    own = home / "own"
    own.mkdir(0o700)
    shop = DiskShop(own, 3)
    made = keep_copy(shop.path, shop.clock.now_us)
    assert made is not None
    shop.clock.on(DAY_MIN)
    shop.new_batch(1)
    shop.close()
    record, zipped = str(shop.path), str(own / "all.zip")
    assert main(["archive", zipped, "--record", record]) == 0
    assert main(["unarchive", zipped, str(own / "again.shopclock")]) == 0
    assert main(["copy", str(own / "copy.shopclock"), "--record", record]) == 0
    assert main(["restore", str(made.path), "--record", record, "--yes"]) == 0
    spoil(shop.path)
    assert main(["restore", str(made.path), "--record", record, "--yes"]) == 0
    assert main(["take-along", str(own / "desk.shopclock"), "--record", record]) == 0
    assert main(["demo", str(own / "demo.shopclock")]) == 0
    write_down(ValueError("ours"), "test")
    assert (home / "xdg_state_home" / "shopclock" / "log" / "shopclock.log").exists()
    assert wide_open(home) == []


def test_a_damaged_record_on_a_disk_without_second_names_is_kept_for_its_owner(
    home: Path, umask: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError

    own = home / "own"
    own.mkdir(0o700)
    shop = DiskShop(own, 3)
    made = keep_copy(shop.path, shop.clock.now_us)
    assert made is not None
    shop.close()
    spoil(shop.path)
    monkeypatch.setattr(os, "link", refuse)
    assert main(["restore", str(made.path), "--record", str(shop.path), "--yes"]) == 0
    assert any("damaged" in name for name in modes(own))
    assert wide_open(own) == []


def test_a_new_record_in_a_new_folder_is_the_owners_alone(home: Path, umask: int) -> None:
    with closing(Record.open(home / "a" / "b" / "shop.shopclock", ToyClock(), make=True)):
        assert modes(home)["a"] == modes(home)["a/b"] == 0o700
    assert wide_open(home) == []


def test_copies_that_an_older_version_let_everybody_see_are_the_owners_again(home: Path) -> None:
    shop = DiskShop(home, 3)
    folder = home / "shop copies"
    folder.mkdir(mode=0o755, exist_ok=True)
    folder.chmod(0o755)
    keep_copy(shop.path, shop.clock.now_us)
    shop.close()
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_what_goes_out_is_read_by_whom_the_system_lets(home: Path, umask: int) -> None:
    out = home / "out"
    out.mkdir()
    shop = DiskShop(home, 3)
    shop.close()
    record, batch = str(shop.path), shop.batches[0].name
    for command, *rest in (
        ["export", "sheet.xlsx"], ["export", "sheet.csv"], ["card", batch, "card.pdf"],
        ["review", batch, "review.pdf"], ["calendar", "plan.ics"],
    ):  # fmt: skip
        assert main([command, *rest[:-1], str(out / rest[-1]), "--record", record]) == 0
    assert modes(out) == dict.fromkeys(OUT, 0o666 & ~umask)
    shutil.rmtree(out)
