"""How long a hundred thousand rows of old notes take to read, to bring in and to take back, and a click meanwhile.

A report.
"""

from __future__ import annotations

import os
import time
from contextlib import closing
from statistics import median
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.notes.notes import NotesAnswers
from shopclock.exchange.notes.notes_in import UNDO, here_in, preview
from shopclock.record.check.check import check
from shopclock.record.file.engine import log_of
from shopclock.record.press.record import Record
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.work import begin
from tests.speed.large import large_record
from tests.speed.machines import quiet_machine
from tests.speed.notes_rows import notes_text
from tests.speed.report import say
from tests.speed.table import window_program

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.speed


@pytest.mark.parametrize("rows", [1_000, 10_000, 100_000])
def test_rows_are_brought_in_and_taken_back(tmp_path: Path, rows: int) -> None:
    """A press waits while they are taken and taken back: 80 and 800 ms at most for 1,000 and 10,000.

    The goals for 100,000 are 20 s in all and 10 s for their Undo.
    """
    file = tmp_path / "notes.csv"
    file.write_text(notes_text(rows), encoding="utf-8")
    with closing(Record.open(tmp_path / "r.shopclock", SystemClock(), make=True, zone="Europe/Vienna")) as record:
        begun = _now()
        seen = preview(record.path, file, NotesAnswers(), here_in(record))
        known = _now()
        assert seen.parcel is not None
        record.take(seen.parcel, UNDO)
        taken = _now()
        log = log_of(record.path).stat().st_size
        assert seen.counts is not None
        assert seen.counts.intervals == rows
        if rows <= 10_000:
            assert check(record.path) == []
        undoing = _now()
        record.undo()
        undone = _now()
        if rows <= 10_000:
            assert check(record.path) == []
    say(f"{rows:7} rows: worked out {_took(begun, known)}, taken {_took(known, taken)}, in all {_took(begun, taken)},")
    say(f"  taken back {_took(undoing, undone)}; a log of {log / 1e6:.0f} MB; load {os.getloadavg()[0]:.1f}")


def _now() -> tuple[float, float]:
    return time.perf_counter(), time.process_time()


def _took(begun: tuple[float, float], ended: tuple[float, float]) -> str:
    """Tell a time that passed, and what of it was the processor's: on a busy machine the rest was waiting."""
    took, used = (after - before for before, after in zip(begun, ended, strict=True))
    return f"{took:.3f} s ({used:.3f} of processor)"


def test_presses_while_many_notes_are_worked_out(tmp_path: Path) -> None:
    shop = large_record(tmp_path)
    shop.press(lambda tx: begin.begin(tx, shop.step("Bevel")))
    shop.close()
    (tmp_path / "notes.csv").write_text(notes_text(100_000), encoding="utf-8")
    now_us = str(shop.clock.now_us + 2_000_000)
    told = window_program(quiet_machine(), {"QT_QPA_PLATFORM": "offscreen"}, "beside_notes", str(shop.path), now_us)
    assert told["error"] == ""
    say(f"100,000 rows, beside a record of as many: worked out in {told['took']:.1f} s")
    for said in ("alone", "beside"):
        ms = told[said]["ms"]
        late = sorted(ms)[int(0.99 * (len(ms) - 1))]
        say(f"  finger down to painted, {said}: {len(ms)} presses, median {median(ms):.1f} ms,")
        say(f"    99 of 100 below {late:.1f} ms (goal: 50), slowest {max(ms):.1f} ms")
