"""What can't be opened says in one sentence what it is, and is left as it was."""

import re
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.file import opening, schema
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.values.errors import ShopError
from tests.faults.disks import read_only, small_disk
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ToyClock


@pytest.fixture
def path(tmp_path: Path) -> Path:
    shop = DiskShop(tmp_path, 3)
    shop.record.close()
    return shop.path


def said_by(open_it: Callable[[Path], object], path: Path) -> str:
    """The one sentence that an opening ends with: no trace, no class name, no line break."""
    with pytest.raises(ShopError) as raised:
        open_it(path)
    said = str(raised.value)
    assert "\n" not in said
    assert said.endswith(".")
    assert not re.search(r"Error|Exception|sqlite3|Traceback|\(None", said)
    return said


def write(path: Path) -> None:
    Record.open(path, ToyClock()).close()


def read(path: Path) -> None:
    with ReadOnlyRecord.open(path):
        pass


OPENINGS = pytest.mark.parametrize("open_it", [write, read, check])


def _not_a_record(path: Path) -> None:
    path.write_bytes(b"A letter to a customer, not a record. " * 200)


def _short(path: Path) -> None:
    path.write_bytes(b"SQLite")


def _cut_off(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def _cut_within_a_page(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:-1000])


def _pages_spoilt(path: Path) -> None:
    data = bytearray(path.read_bytes())
    for at in range(4096, len(data), 4096):
        data[at : at + 12] = bytes(byte ^ 0xFF for byte in data[at : at + 12])
    path.write_bytes(data)


def _head_spoilt(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[100:110] = b"\xff" * 10
    path.write_bytes(data)


def _pragma(text: str) -> Callable[[Path], None]:
    def change(path: Path) -> None:
        with closing(sqlite3.connect(path)) as connection:
            connection.execute(f"PRAGMA {text}")

    return change


def _a_folder(path: Path) -> None:
    path.unlink()
    path.mkdir()


SPOILT = [
    (_not_a_record, "is not a record of this program. Nothing was changed."),
    (_short, "is not a record of this program. Nothing was changed."),
    (_pragma("application_id = 17"), "is not a record of this program. Nothing was changed."),
    (_pragma("application_id = 0"), "is not a record of this program. Nothing was changed."),
    (_cut_off, "is damaged. Nothing was changed. Bring back a copy, keep this file."),
    (_cut_within_a_page, "is damaged. Nothing was changed. Bring back a copy, keep this file."),
    (_pages_spoilt, "is damaged. Nothing was changed. Bring back a copy, keep this file."),
    (_head_spoilt, "is damaged. Nothing was changed. Bring back a copy, keep this file."),
    (_pragma(f"user_version = {schema.VERSION + 1}"), "was written by a newer version of this program."),
    (_a_folder, "is a folder, not a file. Nothing was changed. Name a file."),
]


@OPENINGS
@pytest.mark.parametrize(("spoil", "said"), SPOILT)
def test_what_is_no_sound_record_of_ours_is_refused_and_left_alone(
    path: Path, spoil: Callable[[Path], None], said: str, open_it: Callable[[Path], object]
) -> None:
    spoil(path)
    before = path.read_bytes() if path.is_file() else None
    beside = sorted(path.parent.iterdir())
    assert said in said_by(open_it, path)
    assert str(path) in said_by(open_it, path)
    if before is not None:
        assert path.read_bytes() == before
    assert [p for p in sorted(path.parent.iterdir()) if p.suffix not in (".shopclock-wal", ".shopclock-shm")] == beside


@OPENINGS
def test_the_file_of_another_program_keeps_every_byte(tmp_path: Path, open_it: Callable[[Path], object]) -> None:
    path = tmp_path / "theirs"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE letters (text)")
    before = path.read_bytes()
    assert "is not a record of this program. Nothing was changed." in said_by(open_it, path)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


@OPENINGS
@pytest.mark.parametrize("spoil", [_cut_off, _cut_within_a_page, _pages_spoilt, _head_spoilt])
def test_a_large_record_closed_tidily_is_refused_when_it_is_cut_or_spoilt(
    path: Path, spoil: Callable[[Path], None], open_it: Callable[[Path], object], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is not looked through page by page: what is missing is seen at once, what is spoilt when it is read."""
    monkeypatch.setattr(opening, "LARGE", 1000)
    spoil(path)
    assert "is damaged. Nothing was changed." in said_by(open_it, path)


def test_a_large_record_not_closed_tidily_is_looked_through(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "LARGE", 1000)
    data = bytearray(path.read_bytes())
    with closing(sqlite3.connect(path)) as connection:
        (root,) = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'journal'").fetchone()
    at = (root - 1) * 4096
    data[at : at + 12] = b"\xff" * 12
    path.write_bytes(data)
    write(path)
    path.write_bytes(data)
    path.with_name(f"{path.name}-wal").touch()
    assert "is damaged" in said_by(write, path)


@OPENINGS
def test_a_record_that_is_not_there_is_not_made(tmp_path: Path, open_it: Callable[[Path], object]) -> None:
    assert "There is no record at" in said_by(open_it, tmp_path / "none")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("place", ["file/shop", "file/deeper/shop"])
def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path, place: str) -> None:
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    said = said_by(lambda path: Record.open(path, ToyClock(), make=True), tmp_path / place)
    assert "can't be used" in said


def test_an_empty_file_becomes_a_record_only_where_one_may_be_made(tmp_path: Path) -> None:
    path = tmp_path / "shop"
    path.touch()
    assert "There is no record" in said_by(write, path)
    Record.open(path, ToyClock(), make=True).close()
    assert check(path) == []
    assert path.stat().st_mode & 0o777 == 0o600


def test_a_record_that_may_only_be_read_is_not_opened_to_write_but_can_be_read(path: Path) -> None:
    with read_only(path):
        assert "may only be read. Nothing was changed." in said_by(write, path)
        assert check(path) == []


def test_a_folder_that_may_only_be_read_is_told_and_its_record_can_be_read(path: Path, tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    folder.mkdir()
    moved = Path(shutil.copy(path, folder))
    with read_only(folder):
        assert "may only be read. Nothing was changed." in said_by(write, moved)
        assert check(moved) == []
        new = said_by(lambda p: Record.open(p, ToyClock(), make=True), folder / "new")
        assert "can't be used" in new


def test_a_record_that_another_program_writes_in_is_told(path: Path) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        assert "is in use by another program. Close it there, then try again." in said_by(write, path)
        assert check(path) == []


def test_no_room_for_a_new_record_is_told_and_nothing_is_left(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "64k") as disk:
        said = said_by(lambda p: Record.open(p, ToyClock(), make=True), disk / "shop")
        assert "is full" in said
        assert not list(disk.iterdir())
