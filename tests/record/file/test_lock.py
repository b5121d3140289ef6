"""One program writes a file, whatever its name; what was left behind stands in nobody's way."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from shopclock.record.file import disk, lock
from shopclock.record.file.lock import Holder, RecordLock
from shopclock.record.file.place import state_folder

ROOT = Path(__file__).parents[3]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    found = tmp_path / "shop.shopclock"
    found.write_bytes(b"a record")
    return found


def beside(path: Path) -> Path:
    return path.with_name(f"{path.name}.lock")


def takes(path: Path, *, over: bool = False) -> Holder | None:
    mine = RecordLock(path)
    holder = mine.take(over=over)
    assert mine.taken is (holder is None)
    mine.release()
    return holder


def test_a_file_is_held_under_each_of_its_names(path: Path) -> None:
    symlink, hard_link = path.with_name("symlink"), path.with_name("hard")
    symlink.symlink_to(path)
    hard_link.hardlink_to(path)
    (path.parent / "folder").mkdir()
    names = [path, symlink, hard_link, path.parent / "folder" / ".." / path.name]
    for first in names:
        mine = RecordLock(first)
        assert mine.take() is None
        assert [takes(other) for other in names] == [Holder(sure=True, number=os.getpid())] * len(names)
        assert {RecordLock(other).name for other in names} == {mine.name}
        mine.release()


def test_what_is_let_go_leaves_nothing(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(path.parent.with_name(f"{path.parent.name} state")))
    assert takes(path) is None
    assert list(path.parent.iterdir()) == [path]
    assert list((state_folder() / "locks").iterdir()) == []


def test_a_file_that_is_only_made_under_the_lock_is_held_too(path: Path) -> None:
    path.unlink()
    mine = RecordLock(path)
    assert mine.take() is None
    assert takes(path) == Holder(sure=True, number=os.getpid())
    path.write_bytes(b"new")
    mine.follow()
    hard_link = path.with_name("hard")
    hard_link.hardlink_to(path)
    assert takes(hard_link) == Holder(sure=True, number=os.getpid())
    mine.release()
    assert takes(hard_link) is None


def test_a_stick_that_is_plugged_in_again_is_held_anew(path: Path) -> None:
    mine = RecordLock(path)
    assert mine.take() is None
    lock, text = beside(path), beside(path).read_bytes()
    for place, data in ((path, b"a record"), (lock, text)):
        again = place.with_name("again")
        again.write_bytes(data)
        again.replace(place)
    mine.follow()
    assert takes(path) == Holder(sure=True, number=os.getpid())
    mine.release()
    assert not lock.exists()
    assert takes(path) is None


HOLD = """import pathlib, sys
from shopclock.record.file.lock import RecordLock
mine = RecordLock(pathlib.Path(sys.argv[1]))
print(mine.take(), flush=True)
sys.stdin.read()"""


def test_a_program_that_was_killed_holds_nothing(path: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=ROOT, text=True
    ) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == "None\n"
        assert takes(path) == Holder(sure=True, number=program.pid)
        program.send_signal(signal.SIGKILL)
        program.wait()
    assert beside(path).exists()
    assert takes(path) is None


OWN = {"program": "shopclock", "number": os.getppid(), "machine": "x", "machine_id": "", "at": "2026-11-29 19:00"}


def left(**other: object) -> bytes:
    return json.dumps(OWN | other).encode()


LEFT_HERE = {
    "a number that is another program's by now": left(machine_id=lock._machine_id()),
    "an earlier version's": b"1\nshopclock\nelsewhere\n%s\nboot\n" % lock._machine_id().encode(),
    "empty": b"",
    "of zeroes": b"\0" * 512,
    "no words of a lock": b"\xff\xfe nonsense",
    "half": left()[:30],
}


@pytest.mark.skipif(not lock._machine_id(), reason="this machine has no name of its own")
@pytest.mark.parametrize("text", LEFT_HERE.values(), ids=LEFT_HERE)
def test_a_lock_left_on_a_disk_of_this_machine_is_nobodys(path: Path, text: bytes) -> None:
    beside(path).write_bytes(text)
    assert takes(path) is None


LEFT_ELSEWHERE = {
    "another machine's": (left(machine="barn", machine_id="other"), Holder(sure=False, machine="barn", at=OWN["at"])),
    "an earlier version's": (b"1\nshopclock\nbarn\nother\nboot\n", Holder(sure=False, machine="barn")),
    "empty": (b"", Holder(sure=False)),
    "of zeroes": (b"\0" * 512, Holder(sure=False)),
}


@pytest.mark.parametrize(("text", "holder"), LEFT_ELSEWHERE.values(), ids=LEFT_ELSEWHERE)
def test_a_lock_left_on_a_stick_is_asked_about_and_taken_over(
    path: Path, text: bytes, holder: Holder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(lock, "can_go_away", lambda _: True)
    beside(path).write_bytes(text)
    assert takes(path) == holder
    assert beside(path).read_bytes() == text
    assert takes(path, over=True) is None
    assert takes(path) is None


def test_a_folder_in_a_locks_place_is_asked_about_and_put_aside(path: Path) -> None:
    beside(path).mkdir()
    (beside(path) / "something").touch()
    assert takes(path) == Holder(sure=False)
    assert takes(path, over=True) is None
    assert [found.name for found in path.parent.glob("*.lock.left-*/something")] == ["something"]


def test_what_a_program_has_that_runs_cannot_be_taken_over(path: Path) -> None:
    mine = RecordLock(path)
    assert mine.take() is None
    assert takes(path, over=True) == Holder(sure=True, number=os.getpid())
    mine.release()


def test_disks_of_this_machine_stay_and_shares_and_sticks_go(monkeypatch: pytest.MonkeyPatch) -> None:
    assert disk.can_go_away(Path("/media/somebody/STICK/shop.shopclock"))
    for kind, goes in (("ext4", False), ("tmpfs", False), ("nfs4", True), ("cifs", True), ("fuse.sshfs", True)):
        monkeypatch.setattr(disk, "_mount_of", lambda _, kind=kind: (kind, ""))
        assert disk.can_go_away(Path("/home/somebody/shop.shopclock")) is goes
