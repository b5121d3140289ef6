"""A power cut at any instant, from the very first byte: the record opens, sound, with each press told as kept."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Interval
from tests.faults.power_cut import Disk, entries
from tests.faults.preload import built
from tests.plenty import IN_CI

if TYPE_CHECKING:
    from collections.abc import Callable

ROOT = Path(__file__).parents[2]
PRESSES = 10
PARTS = 8
EVERY = 12 if IN_CI else 1
CHECKED = 40
"""One state in so many is checked whole; opening looks at all pages of each."""


@pytest.fixture(scope="module")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, bytes]:
    """What a first start and some presses did to a folder that wasn't there."""
    place = tmp_path_factory.mktemp("power")
    folder = place / "disk"
    folder.mkdir()
    log = place / "log"
    env = os.environ | {"LD_PRELOAD": str(built("disk_recorder")), "RECORD_UNDER": str(folder), "RECORD_TO": str(log)}
    path = folder / "new folder" / "shop.shopclock"
    command = [sys.executable, "-m", "tests.faults.press_and_note", str(path), str(PRESSES)]
    subprocess.run(command, cwd=ROOT, env=env, check=True)
    return str(folder), log.read_bytes()


LEAVES: dict[str, Callable[[Disk, Path, random.Random], None]] = {
    "only what was synced": lambda disk, into, _: disk.only_synced(into),
    "all of it": lambda disk, into, _: disk.all_of_it(into),
    "some of it": lambda disk, into, dice: disk.some_of_it(into, dice),
}


@pytest.mark.long
@pytest.mark.parametrize("part", range(PARTS))
@pytest.mark.parametrize("left", LEAVES)
def test_after_a_power_cut_the_record_opens_with_all_that_was_told_as_kept(
    recorded: tuple[str, bytes], left: str, part: int, tmp_path: Path
) -> None:
    folder, log = recorded
    disk, dice = Disk(folder), random.Random(part)  # noqa: S311  # dice of a test
    states = 0
    for n, entry in enumerate(entries(log)):
        disk.play(entry)
        if n % (PARTS * EVERY) != part:
            continue
        states += 1
        shutil.rmtree(tmp_path / "left", ignore_errors=True)
        (tmp_path / "left").mkdir()
        LEAVES[left](disk, tmp_path / "left", dice)
        path = tmp_path / "left" / "new folder" / "shop.shopclock"
        with closing(Record.open(path, SystemClock(), make=True)) as record:
            there = {interval.uuid for interval in record.floor.all(Interval)}
        told = set(disk.notes) - {"open"}
        assert told <= there, f"after {n} entries: {entry[:4]}"
        if states % CHECKED == 0:
            assert check(path) == []
    assert states > 5
    assert not IN_CI or states < 100
