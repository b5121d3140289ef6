"""A window that is killed in the middle of an exchange: what it had sent is sent, what it had taken is there, once."""

import subprocess
import sys
from contextlib import closing
from pathlib import Path

from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.record.server import joining_in
from shopclock.shop.values.clock import SystemClock
from tests.record.joining.several import OneBench, rows_of
from tests.record.machine import Machine
from tests.record.on_disk import DiskShop

PRESSES = 24
KILLED_AFTER = (1, 2, 4, 1, 3)
"""Steps that each of the windows lives: the first of them send, the later ones take."""


def press_some(bench: OneBench, names: tuple[str, ...]) -> None:
    made = n = 0
    while made < PRESSES:
        bench.clock.on(us=60_000_000)  # type: ignore[attr-defined]  # a toy's
        made += bench.one(names[n % len(names)], n, made)
        n += 1


def test_a_window_that_is_killed_while_it_exchanges_goes_on_where_it_was(tmp_path: Path, where: str) -> None:
    now_us = SystemClock().moment().wall_us
    shop = DiskShop(tmp_path, 3, 2, clock=Machine(now_us - 7_200_000_000, boot_id="shop"))
    joining_in.init(shop.record, where)
    kitchen = tmp_path / "kitchen.shopclock"
    joining_in.join(kitchen, where, Machine(now_us - 7_200_000_000, boot_id="kitchen"))
    shop.close()
    for path, names in ((shop.path, ("start", "done", "stop")), (kitchen, ("start", "letters", "next", "stop"))):
        with closing(OneBench(path, Machine(now_us - 7_000_000_000, boot_id=f"{path.stem} later"))) as bench:
            press_some(bench, names)
    with closing(Record.open(shop.path, SystemClock())) as record:
        joining_in.exchange(record, where)
    steps: list[str] = []
    for lives in KILLED_AFTER:
        steps += killed(kitchen, where, lives)
        assert check(kitchen) == []
    assert {"sent", "taken"} <= set(steps), steps
    with closing(Record.open(kitchen, SystemClock())) as there:
        standing = joining_in.exchange(there, where)
        assert (standing.sentence, standing.to_take) == ("", 0)
    with closing(Record.open(shop.path, SystemClock())) as record:
        joining_in.exchange(record, where)
    assert rows_of(shop.path) == rows_of(kitchen)
    assert check(shop.path) == check(kitchen) == []


def killed(path: Path, where: str, steps: int) -> list[str]:
    """Exchange in a program of its own and kill it after so many steps; returns those that it told."""
    command = [sys.executable, "-m", "tests.record.server.exchange_on", str(path), where]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as program:
        assert program.stdout is not None
        told = [program.stdout.readline().strip() for _ in range(steps)]
        program.kill()
    return told
