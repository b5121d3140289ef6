"""Six hours at the window with three clocks running: memory and open files stay where they were."""

from __future__ import annotations

import gc
import os
from pathlib import Path

import pytest

from shopclock.shop.values.entities import Piece, Step
from shopclock.shop.work import begin
from tests.faults import bevels
from tests.plenty import IN_CI
from tests.walks.walk import START_US, at_the_window, new_record

HOURS = 2 if IN_CI else 6
TICKS_AN_HOUR = 3600
"""One a second: what a window does by itself goes by the clock, not by how often it ticks."""
MOST_GROWTH = 4_000_000
"""Bytes of memory that later hours may take beyond the first: what the allocator keeps for itself."""


def memory() -> int:
    gc.collect()
    return int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1]) * os.sysconf("SC_PAGESIZE")


def descriptors() -> int:
    return len(list(Path("/proc/self/fd").iterdir()))


@pytest.mark.long
@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="this machine doesn't tell")
def test_six_hours_with_three_clocks_take_no_more_memory_and_files_than_one(tmp_path: Path) -> None:
    path = new_record(tmp_path / "shop.shopclock")
    with at_the_window(path, START_US) as hand:
        record = hand.record
        bevels.furnish(record)
        steps = {step.name: step for step in record.floor.all(Step)}
        a, b, c = (piece.id for piece in record.floor.all(Piece))
        record.press("Temper", lambda tx: begin.begin(tx, steps["Temper"], [a]))
        record.press("Bevel", lambda tx: begin.begin(tx, steps["Bevel"], [b]))
        record.press("Scales", lambda tx: begin.begin(tx, steps["Scales"], [c], together=True))
        assert len(record.floor.running) == 3
        found = []
        for _ in range(HOURS):
            for _ in range(TICKS_AN_HOUR):
                hand.clock.go_on(1 / 60)
                hand._shell.tick()
            found.append((memory(), descriptors()))
        assert len({files for _, files in found}) == 1, found
        assert found[-1][0] - found[0][0] < MOST_GROWTH, found
