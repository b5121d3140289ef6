"""How long a hundred thousand rows of old notes take to read, to bring in and to take back; a report."""

from __future__ import annotations

import time
from contextlib import closing
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.notes import Said, draft, take_in
from shopclock.record.check import check
from shopclock.record.record import Record
from tests.shop.workshop import ToyClock
from tests.speed.report import say

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.speed

STAGES = ("Saw", "Bevel", "Harden", "Handle", "Sharpen", "Polish", "Etch", "Sheath")


def _row(i: int) -> str:
    """Ten rows a day, eighty a batch."""
    day = date(1995, 1, 1) + timedelta(days=i // 10)
    return f"{day};B{i // 80};Spreader;{STAGES[i // 10 % 8]};{5 + i * 7 % 45} min;6;note {i}\n"


@pytest.mark.parametrize("rows", [1_000, 10_000, 100_000])
def test_rows_are_brought_in_and_taken_back(tmp_path: Path, rows: int) -> None:
    """The goal is 30 s for 100,000; a press waits as long as *bring in* takes."""
    file = tmp_path / "notes.csv"
    file.write_text("Date;Batch;Pattern;Stage;Time;Qty;Note\n" + "".join(map(_row, range(rows))), encoding="utf-8")
    with closing(Record.open(tmp_path / "r.shopclock", ToyClock(), make=True, zone="Europe/Vienna")) as record:
        start = time.perf_counter()
        drafted = draft(record, file, Said())
        told = time.perf_counter()
        take_in(record, drafted)
        taken = time.perf_counter()
        assert len(drafted.notes.placed) == rows
        if rows <= 10_000:
            assert check(record.path) == []
        undoing = time.perf_counter()
        record.undo()
        undone = time.perf_counter()
    say(f"{rows:7} rows: preview {told - start:5.1f} s, bring in {taken - told:5.1f} s, undo {undone - undoing:5.1f} s")
