"""A disk that fails: nothing is told as kept that is not, nothing as lost that is there, no sound record as damaged."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pytest

from shopclock.record.check.check import check
from shopclock.record.copies.copying import copy_to
from shopclock.record.file.refuge import refuge_of
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.record.rescue.rescue import write_refuge
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Interval, Shop, Stage
from shopclock.shop.work import begin
from tests.faults import bevels
from tests.faults.preload import built

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
WRITES, SYNCS, READS, NAMES = 1, 2, 4, 8
ALL = WRITES | SYNCS | READS | NAMES
FOR_GOOD = 10**6
NOT_KEPT, MAYBE, NOTHING_KEPT = "The last press was not kept", "may not be kept", "Nothing is kept there"


class Said(NamedTuple):
    """What the presses were told as: UUIDs of those kept, sentences of the others, and what came after."""

    kept: list[str]
    told: list[str]
    failures: int
    trouble: str
    after: str
    rest: str


@pytest.fixture
def stick(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    path = tmp_path / "stick" / "shop.shopclock"
    path.parent.mkdir()
    bevels.make(path)
    return path


def press_on(path: Path, first: int, many: int, kinds: int, place: Path | None = None) -> Said:
    env = os.environ | {"LD_PRELOAD": str(built("disk_that_fails")), "FAIL_UNDER": str(path.parent)}
    command = [sys.executable, "-m", "tests.faults.press_on_failing_disk", str(path), str(first), str(many), str(kinds)]
    command += [str(place)] if place is not None else []
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, check=False)
    assert done.returncode == -9, done.stderr
    said: dict[str, list[str]] = {}
    for line in done.stdout.splitlines():
        word, _, rest = line.partition(" ")
        said.setdefault(word, []).append(rest)
    rest = [f"{word} {said[word][0]}" for word in ("missing", "refused") if word in said]
    return Said(
        said.get("kept", []), said.get("told", []), int(said["failures"][0]), said["trouble"][0], said["after"][0],
        "".join(rest),
    )  # fmt: skip


def pressed(path: Path) -> tuple[set[str], set[str]]:
    """Stretches in a record, and the names of its presses."""
    with closing(Record.open(path, SystemClock())) as record:
        there = {row.uuid for row in record.reads.intervals()}
        with record._engine.connect() as connection:
            return there, set(connection.exec_driver_sql("SELECT what FROM press").scalars())


@pytest.mark.parametrize("kinds", [WRITES, SYNCS, WRITES | SYNCS], ids=["writes", "syncs", "both"])
@pytest.mark.parametrize(("first", "many"), [(1, 1), (1, 2), (2, 1), (3, 1), (1, FOR_GOOD), (2, FOR_GOOD)])
def test_what_a_press_is_told_as_is_so_at_the_next_start(stick: Path, first: int, many: int, kinds: int) -> None:
    said = press_on(stick, first, many, kinds)
    there, names = pressed(stick)
    assert set(said.kept) <= there
    for told in said.told:
        number = told.split()[0]
        if NOT_KEPT in told or NOTHING_KEPT in told:
            assert f"Work {number}" not in names
        else:
            assert MAYBE in told
            assert said.trouble == "fails"
    assert len(said.kept) + len(said.told) == 6
    assert bool(said.told) == bool(said.failures)
    if many < FOR_GOOD:
        assert said.trouble == "none"
        assert len(said.kept) >= 5, "a disk that works again is pressed on"
    assert check(stick) == []


def test_a_stick_that_was_pulled_out_loses_nothing_that_was_told_as_kept(stick: Path, tmp_path: Path) -> None:
    with ReadOnlyRecord.open(stick) as reading:
        shop_uuid = next(iter(reading.floor.all(Shop))).uuid
    copy_to(stick, refuge_of(shop_uuid, stick).base)
    said = press_on(stick, 1, FOR_GOOD, ALL, tmp_path / "new" / "shop.shopclock")
    assert len(said.kept) == 2
    assert len(said.told) == 4
    assert (said.trouble, said.rest) == ("fails", "missing 0")
    there, _ = pressed(tmp_path / "new" / "shop.shopclock")
    assert set(said.kept) <= there
    assert check(tmp_path / "new" / "shop.shopclock") == []


def test_without_any_copy_it_is_said_that_none_could_be_found(stick: Path, tmp_path: Path) -> None:
    said = press_on(stick, 1, FOR_GOOD, ALL, tmp_path / "new" / "shop.shopclock")
    assert "No sound state" in said.rest


def test_what_was_pressed_on_a_stick_lies_in_the_users_folder_and_goes_on_there(stick: Path, tmp_path: Path) -> None:
    """With the stick gone and the program ended: the copy and the presses since are enough."""
    with closing(Record.open(stick, SystemClock())) as record:
        refuge = refuge_of(record.file.shop_uuid, stick)
        copy_to(stick, refuge.base)
        record.file.kept = refuge.add
        for stage in [stage for stage in record.floor.all(Stage) if stage.shop_work][:1] * 3:
            record.press("Work", lambda tx, stage=stage: begin.begin_shop_work(tx, stage))
        kept = {interval.uuid for interval in record.floor.all(Interval)}
    shutil.rmtree(stick.parent)
    write_refuge(refuge, tmp_path / "new" / "shop.shopclock")
    assert kept <= pressed(tmp_path / "new" / "shop.shopclock")[0]
    assert check(tmp_path / "new" / "shop.shopclock") == []


OPEN = """import ctypes, pathlib, sys
from shopclock.record.file import opening
from shopclock.record.file.error_text import Damaged
from shopclock.record.press.record import Record
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.errors import ShopError
opening.PAUSES_S = (0,) * len(opening.PAUSES_S)  # this disk's moments are so many reads, not seconds
disk, path = ctypes.CDLL(None), pathlib.Path(sys.argv[1])
for kinds in (4, 12):
    for many in (1, 3, 10 ** 6):
        for first in range(1, 40, 3):
            for opened in (lambda: Record.open(path, SystemClock()).close(), lambda: ReadOnlyRecord.open(path)):
                disk.disk_fails(first, many, 5, kinds)
                try:
                    opened()
                    said = "opened"
                except Damaged as error:
                    said = f"DAMAGED {error}"
                except ShopError as error:
                    said = str(error)
                print(disk.disk_failures(), said, flush=True)
                disk.disk_fails(-1, 0, 0, 0)
"""


def test_a_disk_that_cannot_be_read_for_a_moment_is_tried_again_and_never_told_as_damage(stick: Path) -> None:
    env = os.environ | {"LD_PRELOAD": str(built("disk_that_fails")), "FAIL_UNDER": str(stick)}
    done = subprocess.run(
        [sys.executable, "-c", OPEN, str(stick)], cwd=ROOT, env=env, capture_output=True, text=True, check=True
    )
    lines = [line.split(" ", 1) for line in done.stdout.splitlines()]
    failed = [said for failures, said in lines if int(failures)]
    assert len(failed) > 50
    assert not [said for said in failed if said.startswith("DAMAGED")]
    told = {said for said in failed if said != "opened"}
    assert all("can't be read or written just now" in said or "gives errors" in said for said in told), told
    assert len([said for said in failed if said == "opened"]) > len(failed) / 4, "a moment's failure is tried again"
    assert check(stick) == []
