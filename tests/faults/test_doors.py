"""Whatever is no plain file is refused at every door with a sentence, at once, and is left as it is."""

from __future__ import annotations

import os
import signal
import socket
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.notes.file import read_table
from shopclock.exchange.workbook.beside import written_beside
from shopclock.record.copies.archive import archive
from shopclock.record.copies.copying import copy_to
from shopclock.record.copies.daily import keep_copy
from shopclock.record.copies.restoring import restore
from shopclock.record.copies.unarchive import unarchive
from shopclock.record.desk.looking import look_through
from shopclock.record.desk.taking_along import take_along
from shopclock.record.file import heartbeat
from shopclock.record.file.copy_files import Keeps, read_keeps, usual_folder
from shopclock.record.file.opening import open_reader, open_writer
from shopclock.shop.routes.route_file import load_route
from shopclock.shop.values.errors import ShopError
from tests.record.on_disk import DiskShop
from tests.shop.workshop import ToyClock

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

NOW_US = 1_793_000_000_000_000


@pytest.fixture(autouse=True)
def _nobody_waits() -> Iterator[None]:
    """Where a door waits for somebody to write into a pipe, the test ends instead of hanging."""

    def late(*_: object) -> None:
        pytest.fail("it waits for what never comes")

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(120)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    shop = DiskShop(tmp_path_factory.mktemp("doors"), 3, 1)
    shop.close()
    return shop.path


def _folder(path: Path) -> Path:
    path.mkdir()
    return path


def _pipe(path: Path) -> Path:
    os.mkfifo(path)
    return path


def _socket(path: Path) -> Path:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(os.path.relpath(path))
    return path


def _link(to: str) -> Callable[[Path], Path]:
    def made(path: Path) -> Path:
        path.symlink_to(to)
        return path

    return made


OTHERS = {
    "a folder": _folder, "a pipe": _pipe, "a socket": _socket, "a device without end": _link("/dev/zero"),
    "a terminal": _link("/dev/tty"), "a view without end": _link("/proc/self/pagemap"), "itself": _link("it.zip"),
    "nothing": _link("/nowhere"),
}  # fmt: skip
READS: dict[str, Callable[[Path, Path], object]] = {
    "notes": lambda _, file: read_table(file),
    "archive": lambda record, file: unarchive(file, record.with_name("new.shopclock")),
    "restore": lambda record, file: restore(record, file, NOW_US),
    "restore in its place": lambda record, file: restore(file, record, NOW_US),
    "desk's copy": look_through,
    "route file": lambda _, file: load_route(file),
    "read": lambda _, file: open_reader(file),
    "write": lambda _, file: open_writer(file),
}
WRITES: dict[str, Callable[[Path, Path], object]] = {
    "archive": lambda record, file: archive(record, file, NOW_US),
    "copy": copy_to,
    "desk's copy": lambda record, file: take_along(record, file, ToyClock()),
    "export": lambda _, file: written_beside(file).__enter__(),
}


def refused(door: Callable[[Path, Path], object], record: Path, file: Path) -> str:
    was, before = os.lstat(file), record.read_bytes()
    beside = sorted(file.parent.iterdir())
    with pytest.raises(ShopError) as said:
        door(record, file)
    now = os.lstat(file)
    assert (now.st_mode, now.st_ino) == (was.st_mode, was.st_ino)
    assert record.read_bytes() == before
    assert sorted(file.parent.iterdir()) == beside
    return str(said.value)


@pytest.mark.parametrize("door", READS)
@pytest.mark.parametrize("other", OTHERS)
def test_what_comes_in_is_a_plain_file_or_is_refused(
    record: Path, tmp_path: Path, door: str, other: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if door == "restore in its place" and other in ("nothing", "itself"):
        return  # there is no record there: a copy may come to that place
    monkeypatch.chdir(tmp_path)
    said = refused(READS[door], record, OTHERS[other](tmp_path / "it.zip"))
    assert said.endswith(".")
    assert "it.zip" in said


@pytest.mark.parametrize("door", WRITES)
@pytest.mark.parametrize("other", ["a folder", "a pipe", "a socket", "a device without end"])
def test_nothing_goes_out_in_the_place_of_what_is_no_plain_file(
    record: Path, tmp_path: Path, door: str, other: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    refused(WRITES[door], record, OTHERS[other](tmp_path / "it.zip"))


def test_pipes_where_the_small_files_lie_hold_nobody_up(tmp_path: Path) -> None:
    shop = DiskShop(tmp_path, 3, 1)
    shop.close()
    folder = usual_folder(shop.path)
    folder.mkdir(exist_ok=True)
    heartbeat.place(shop.path).unlink(missing_ok=True)
    _pipe(heartbeat.place(shop.path))
    _pipe(shop.path.with_name(f"{shop.path.name}.copies"))
    _pipe(folder / f"{shop.path.stem} 2999-01-01 000000 0123abcd.shopclock")
    assert heartbeat.read(shop.path) is None
    assert read_keeps(shop.path) == Keeps()
    assert keep_copy(shop.path, NOW_US) is not None
