"""Killed at any instant: each press that was told as kept is there, and the record opens, the very first start too."""

from __future__ import annotations

import os
import random
import shutil
import signal
import time
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Stage
from shopclock.shop.work import begin
from tests.plenty import parts

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

FIRST_STARTS, WHILE_PRESSING, PARTS = 300, 700, 10
LINE = 37
"""Bytes that tell of a press: its UUID, and the end of the line."""
CHECKED = 10
"""One record in so many is checked whole."""


def first_start(path: Path, _tell: int) -> None:
    Record.open(path, SystemClock(), make=True).close()


def press(path: Path, tell: int) -> None:
    """Press on, with pauses, and tell of each press once it is kept."""
    record = Record.open(path, SystemClock())
    work = [stage for stage in record.floor.all(Stage) if stage.shop_work]
    n = 0
    while True:
        n += 1
        begun, _ = record.press("Work", lambda tx, at=n: begin.begin_shop_work(tx, work[at % len(work)]))  # type: ignore[misc]  # mypy knows no such default
        os.write(tell, f"{begun.uuid}\n".encode())
        if n % 7 == 0:
            record.rest()
        if n % 11 == 0:
            record.undo()
            record.give_sign(record.clock.moment())


def killed(do: Callable[[Path, int], None], path: Path, after_s: float, *, at_work: bool = False) -> set[str]:
    """Do something in a process of its own that is killed, once it is `at_work` or at once; what it has told."""
    heard, tell = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            do(path, tell)
        finally:
            os._exit(0)
    os.close(tell)
    first = os.read(heard, LINE) if at_work else b""
    time.sleep(after_s)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(heard, "rb") as file:
        return {line.decode() for line in (first + file.read()).split(b"\n") if len(line) == LINE - 1}


def undone(record: Record) -> set[str]:
    """Presses of which the stretch was taken back are not on the floor: they are in the journal."""
    with record._engine.connect() as connection:
        found = connection.exec_driver_sql("SELECT before FROM journal WHERE thing = 'interval' AND after IS NULL")
        return {uuid for (line,) in found for uuid in line.split('"') if len(uuid) == 36}


def how_long_s(do: Callable[[Path, int], None], path: Path) -> float:
    began = time.perf_counter()
    do(path, 1)
    return time.perf_counter() - began


@pytest.mark.long
@parts(PARTS)
def test_killed_in_the_first_start_a_record_is_made_by_the_next(tmp_path: Path, part: int) -> None:
    dice, there = random.Random(part), 0  # noqa: S311  # dice of a test
    long_s = how_long_s(first_start, tmp_path / "warm" / "shop.shopclock")
    for n in range(FIRST_STARTS // PARTS):
        folder = tmp_path / "new"
        shutil.rmtree(folder, ignore_errors=True)
        path = folder / "shop.shopclock"
        killed(first_start, path, dice.uniform(0, 1.1 * long_s))
        there += path.exists()
        Record.open(path, SystemClock(), make=True).close()
        assert [one.name for one in folder.iterdir()] == ["shop.shopclock"], "nothing half made is left"
        if n % CHECKED == 0:
            assert check(path) == []
    assert there < FIRST_STARTS // PARTS, "no kill came before the end"


@pytest.mark.long
@parts(PARTS)
def test_killed_while_pressing_no_press_that_was_told_is_lost(tmp_path: Path, part: int) -> None:
    dice, told = random.Random(part), set[str]()  # noqa: S311  # dice of a test
    path = tmp_path / "shop.shopclock"
    first_start(path, 1)
    for n in range(WHILE_PRESSING // PARTS):
        told |= killed(press, path, dice.uniform(0, 0.2), at_work=n % 2 == 1)
        with closing(Record.open(path, SystemClock())) as record:
            there = {interval.uuid for interval in record.reads.intervals()} | undone(record)
        assert told <= there
        if n % CHECKED == 0:
            assert check(path) == []
    assert len(told) >= WHILE_PRESSING // PARTS // 2
