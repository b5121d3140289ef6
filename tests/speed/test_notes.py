"""How long a hundred thousand rows of old notes take to read, to bring in and to take back, and a click meanwhile.

A report.
"""

from __future__ import annotations

import time
from contextlib import closing
from datetime import date, timedelta
from statistics import median
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.notes.notes import NotesAnswers
from shopclock.exchange.notes.notes_in import UNDO, here_in, preview
from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.record.press.unpacking import flush
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.work import begin
from tests.speed.large import large_record
from tests.speed.report import say
from tests.speed.test_window import started

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.record.read.parcel import Parcel

pytestmark = pytest.mark.speed

HEADS = "Date;Batch;Pattern;Stage;Minutes;Qty;Note\n"
STAGES = ("Saw", "Bevel", "Harden", "Handle", "Sharpen", "Polish", "Etch", "Sheath")


def _row(i: int) -> str:
    """Ten rows a day, eighty a batch."""
    day = date(1995, 1, 1) + timedelta(days=i // 10)
    return f"{day};B{i // 80};Spreader;{STAGES[i // 10 % 8]};{5 + i * 7 % 45};6;note {i}\n"


@pytest.mark.parametrize("rows", [1_000, 10_000, 100_000])
def test_rows_are_brought_in_and_taken_back(tmp_path: Path, rows: int) -> None:
    """The goal is 30 s for 100,000; a press waits as long as *bring in* takes."""
    file = tmp_path / "notes.csv"
    file.write_text(HEADS + "".join(map(_row, range(rows))), encoding="utf-8")
    with closing(Record.open(tmp_path / "r.shopclock", SystemClock(), make=True, zone="Europe/Vienna")) as record:
        start, cpu = time.perf_counter(), time.process_time()
        seen = preview(record.path, file, NotesAnswers(), here_in(record))
        told = time.perf_counter()
        assert seen.parcel is not None
        slices = _slices(record, seen.parcel)
        taken, used = time.perf_counter(), time.process_time() - cpu
        assert seen.counts is not None
        assert seen.counts.intervals == rows
        if rows <= 10_000:
            assert check(record.path) == []
        undoing = time.perf_counter()
        record.undo()
        undone = time.perf_counter()
    late = sorted(slices)[int(0.99 * (len(slices) - 1))]
    say(
        f"{rows:7} rows: worked out {told - start:5.1f} s, taken {taken - told:5.1f} s,"
        f" {used:.1f} s of processor in all,"
        f" {len(slices)} slices, 99 in 100 under {late * 1000:.1f} ms, the longest {max(slices) * 1000:.1f} ms;"
        f" undo {undone - undoing:5.1f} s"
    )


def _slices(record: Record, parcel: Parcel) -> list[float]:
    """Take a parcel, and return how long each slice was, the last commit too."""
    found: list[float] = []
    unpacking = record.unpack(parcel)
    more = True
    while more:
        start = time.perf_counter()
        more = unpacking.step()
        found.append(time.perf_counter() - start)
    flush(record.path)
    start = time.perf_counter()
    assert record.arrive(unpacking, UNDO)
    say(f"        the last commit took {(time.perf_counter() - start) * 1000:.1f} ms")
    return found


def test_click_to_painted_while_notes_come_in(tmp_path: Path) -> None:
    shop = large_record(tmp_path)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.close()
    (tmp_path / "notes.csv").write_text(HEADS + "".join(map(_row, range(100_000))), encoding="utf-8")
    told = started("clicks_beside_notes", {"QT_QPA_PLATFORM": "offscreen"}, shop)
    assert told["error"] == ""
    say(f"100,000 rows, into a record of as many: worked out in {told['known']:.1f} s, all is there")
    say(f"  after {told['took']:.1f} s (goal: 30)")
    for said in ("alone", "worked out", "taken"):
        ms = told[said]
        late = sorted(ms)[int(0.99 * (len(ms) - 1))]
        say(f"  click to painted, {said}: {len(ms)} presses, median {median(ms):.1f} ms,")
        say(f"    99 of 100 below {late:.1f} ms (goal: 50), slowest {max(ms):.1f} ms")
    assert told["taken"]
