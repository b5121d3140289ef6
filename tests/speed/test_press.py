"""How long a press takes on its way to the disk, in a record of many years; a report, nothing fails on time."""

import shutil
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from functools import partial
from pathlib import Path
from statistics import median, quantiles
from typing import Any

import pytest
import sqlalchemy as sa

from shopclock.record.check.check import check
from shopclock.record.file.engine import PRAGMAS
from shopclock.record.press.record import Record
from shopclock.shop.state.transaction import Transaction
from shopclock.shop.work import acts, begin, finish
from tests.record.on_disk import DiskShop
from tests.speed.large import INTERVALS, large_record
from tests.speed.report import say

pytestmark = pytest.mark.speed

ROUNDS = 60
Statement = tuple[str, Any, bool]


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[DiskShop]:
    made = large_record(tmp_path)
    yield made
    made.close()


def a_round(shop: DiskShop, n: int) -> Iterator[Callable[[Transaction], object]]:
    """Start, done, Next, stop, in one of the open batches."""
    batch = shop.batches[n % len(shop.batches)]
    yield lambda tx: begin.begin(tx, shop.step("Bevel", batch))
    yield lambda tx: finish.one_done(tx, _in_hand(shop))
    yield lambda tx: acts.go_on(tx, _in_hand(shop))
    yield begin.stop


def _in_hand(shop: DiskShop) -> Any:
    return next(i for i in shop.floor.running.values() if i.kind.attended)


def timed_ms(action: Callable[[], object]) -> float:
    start = time.perf_counter_ns()
    action()
    return (time.perf_counter_ns() - start) / 1e6


class Listened:
    """The statements of each press, as the driver got them."""

    def __init__(self, engine: sa.Engine) -> None:
        self.presses: list[list[Statement]] = []
        sa.event.listen(engine, "before_cursor_execute", self._heard)

    def _heard(self, _c: object, _k: object, statement: str, values: Any, _x: object, many: bool) -> None:
        if not statement.startswith("BEGIN"):
            self.presses[-1].append((statement, values, many))

    def press(self, action: Callable[[], object]) -> float:
        """Press and listen; the time in ms."""
        self.presses.append([])
        return timed_ms(action)


def plainly(path: Path, heard: list[list[Statement]]) -> list[float]:
    """Write the same rows with sqlite3 alone, the same pragmas, one transaction a press."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for pragma in PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
        return [timed_ms(lambda press=press: _one(connection, press)) for press in heard]


def _one(connection: sqlite3.Connection, press: list[Statement]) -> None:
    connection.execute("BEGIN IMMEDIATE")
    for statement, values, many in press:
        (connection.executemany if many else connection.execute)(statement, values)
    connection.execute("COMMIT")


def told(name: str, times: list[float]) -> str:
    return f"{name}: median {median(times):.2f} ms, 99 of 100 below {quantiles(times, n=100)[98]:.2f} ms"


def beside_plain(shop: DiskShop, copy: Path) -> tuple[list[float], list[float], float]:
    """The times of presses, those of the same rows written plainly to a copy, ms; and statements a press."""
    shop.close()
    shutil.copy(shop.path, copy)
    shop.record = Record.open(shop.path, shop.clock)
    heard = Listened(shop.record._engine)
    ours, counted = [], []
    for n in range(ROUNDS):
        for rule in a_round(shop, n):
            shop.clock.on(3)
            counted.append(len(heard.presses))
            ours.append(heard.press(partial(shop.press, rule)))
        for _ in range(4):
            heard.press(shop.undo)
    every = plainly(copy, heard.presses)
    return ours, [every[number] for number in counted], sum(len(heard.presses[n]) for n in counted) / len(counted)


def test_a_press_against_the_same_rows_written_plainly(shop: DiskShop, tmp_path: Path) -> None:
    ours, plain, each = beside_plain(shop, tmp_path / "copy")
    say(f"{INTERVALS} intervals, {len(ours)} presses of {each:.1f} statements")
    say(told("a press", ours))
    say(told("the same rows by sqlite3 alone", plain))
    say(f"ratio at the median {median(ours) / median(plain):.2f} (goal: at most 2)")
    assert len(ours) == len(plain) == 4 * ROUNDS


def test_opening_and_the_first_press(shop: DiskShop) -> None:
    shop.close()
    opened = timed_ms(lambda: setattr(shop, "record", Record.open(shop.path, shop.clock)))
    shop.clock.on(1)
    first = timed_ms(lambda: shop.press(next(a_round(shop, 0))))
    say(f"opened in {opened:.0f} ms, first press in {first:.1f} ms")
    assert shop.floor.running


def test_usual_and_trends(shop: DiskShop) -> None:
    reads, now = shop.record.reads, shop.clock.now_us
    first = timed_ms(lambda: reads.stage_rows(now))
    again = timed_ms(lambda: reads.stage_rows(now))
    step = shop.step("Bevel")
    ask = timed_ms(lambda: reads.usual(step.stage_id, None, shop.batches[0].pattern_id, now))
    repaint = timed_ms(lambda: reads.usual(step.stage_id, None, shop.batches[0].pattern_id, now))
    say(f"all stage rows {first:.0f} ms, again {again:.1f} ms; usual {ask:.1f} ms, at each repaint {repaint:.3f} ms")
    every = timed_ms(lambda: sum(1 for _ in reads.intervals()))
    say(f"every interval read for a sheet in {every:.0f} ms")


@pytest.mark.long
def test_check(shop: DiskShop) -> None:
    shop.close()
    said: list[str] = []
    took = timed_ms(lambda: said.extend(check(shop.path)))
    say(f"checked in {took / 1000:.0f} s")
    shop.record = Record.open(shop.path, shop.clock)
    assert said == []
