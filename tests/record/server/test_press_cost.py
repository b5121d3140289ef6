"""What a press costs at a bench that exchanges, beside one without a server; a report, nothing fails on time."""

import shutil
import time
from contextlib import closing
from pathlib import Path
from statistics import median

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from shopclock.record.press.record import Record
from shopclock.record.server import joining_in
from shopclock.screens.files.exchanging import Exchanging
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.work import begin
from tests.record.machine import Machine
from tests.record.on_disk import DiskShop
from tests.record.server.postgres import Postgres
from tests.speed.report import say

pytestmark = pytest.mark.speed

PAIRS = 150
PATIENCE_MS = 60_000


def test_a_press_with_a_server(tmp_path: Path, where: str, postgres: Postgres, qapp: object, qtbot: QtBot) -> None:
    """The same presses by turns at a bench that has one, which is up, away, hangs, and at a bench that has none."""
    first = DiskShop(tmp_path, 6, 4, clock=Machine(SystemClock().moment().wall_us - 60_000_000, boot_id="before"))
    first.close()
    alone = tmp_path / "alone.shopclock"
    shutil.copy(first.path, alone)
    with closing(Record.open(first.path, SystemClock())) as record, closing(Record.open(alone, SystemClock())) as other:
        joining_in.init(record, where)
        parent = QObject()
        exchanging = Exchanging(record, where, parent, lambda _: None)
        exchanging.start()
        qtbot.waitUntil(lambda: not exchanging.standing.away, timeout=PATIENCE_MS)
        try:
            say(f"press with the server up: {by_turns(record, other, qtbot)}")
            postgres.pause()
            say(f"press with a server that hangs: {by_turns(record, other, qtbot)}")
            postgres.go_on()
            postgres.kill()
            qtbot.waitUntil(lambda: exchanging.standing.away, timeout=PATIENCE_MS)
            say(f"press with the server away: {by_turns(record, other, qtbot)}\n")
        finally:
            exchanging.stop()
            postgres.start()


def by_turns(record: Record, other: Record, qtbot: QtBot) -> str:
    """Press at both, one after the other; the medians and their ratio."""
    took: dict[Record, list[float]] = {record: [], other: []}
    for _ in range(PAIRS):
        for one, times in took.items():
            times.append(pressed_ms(one))
            qtbot.wait(1)  # the window's own turn: what the worker said is heard
    own, alone = (median(times) for times in took.values())
    assert len(took[record]) == len(took[other]) == PAIRS
    return f"{own:.2f} ms, {own / alone:.2f} of {alone:.2f} ms without one"


def pressed_ms(record: Record) -> float:
    step = next(s for s in record.floor.steps(1) if s.name == "Saw")
    rule = begin.stop if record.floor.running else lambda tx: begin.begin(tx, step)
    start = time.perf_counter_ns()
    record.press("Press", rule)
    return (time.perf_counter_ns() - start) / 1e6
