"""With real clocks: a program that stands still, one that is killed, a machine whose boot time has run on."""

import os
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.file import heartbeat
from shopclock.record.press.record import Record
from shopclock.record.press.watch import Watch
from shopclock.shop.recovery import answers, questions
from shopclock.shop.setup import patterns
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Certainty, QuestionReason
from shopclock.shop.work import begin
from shopclock.shop.work.batches import start_batch
from tests.shop.workshop import ROUTE

ROOT = Path(__file__).parents[2]
HOUR_US = 3_600_000_000
COMMAND = (sys.executable, "-m", "tests.faults.stay_open")
AHEAD = ("unshare", "--user", "--map-root-user", "--time", "--boottime", "3600", "--fork", "--kill-child")
"""Runs a program in a namespace of its own whose boot time is an hour ahead: as after a sleep of an hour."""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A record in which bevels have just been started."""
    found = tmp_path / "shop.shopclock"
    with closing(Record.open(found, SystemClock(), make=True, zone="Europe/Vienna")) as record:
        pattern, _ = record.press("Route", lambda tx: patterns.copy_route(tx, ROUTE, "Spreader"))
        batch, _ = record.press("Batch", lambda tx: start_batch(tx, pattern, 3, "26-1"))
        bevel = next(s for s in record.floor.steps(batch.id) if s.name == "Bevel")
        record.press("Start", lambda tx: begin.begin(tx, bevel))
    return found


class Open:
    """The program running by itself; what it says is read line by line."""

    def __init__(self, path: Path, *before: str) -> None:
        self.process = subprocess.Popen([*before, *COMMAND, str(path)], stdout=subprocess.PIPE, cwd=ROOT)
        assert self.process.stdout is not None
        self._out = self.process.stdout
        self._rest = b""

    def line(self, seconds: float) -> str | None:
        """The next thing it says, or nothing within so many seconds."""
        until = time.monotonic() + seconds
        while b"\n" not in self._rest:
            if not select.select([self._out], [], [], max(0.0, until - time.monotonic()))[0]:
                return None
            got = os.read(self._out.fileno(), 4096)
            if not got:
                return None
            self._rest += got
        said, _, self._rest = self._rest.partition(b"\n")
        return said.decode()

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()
        self._out.close()


def running(path: Path, *before: str) -> Iterator[Open]:
    made = Open(path, *before)
    try:
        yield made
    finally:
        made.kill()


def interval(record: Record) -> Interval:
    (found,) = (i for i in record.floor.running.values() if i.kind.attended)
    return found


def test_a_program_that_was_stopped_and_goes_on_has_lost_no_time_and_asks_nothing(path: Path) -> None:
    for program in running(path):
        assert program.line(20) == "open"
        program.process.send_signal(signal.SIGSTOP)
        began = time.monotonic()
        time.sleep(3.5)
        program.process.send_signal(signal.SIGCONT)
        assert program.line(1.5) is None
        stood_us = (time.monotonic() - began) * 1e6
    with closing(Record.open(path, SystemClock())) as record:
        begun = interval(record)
        ended = record.press("Stop", begin.stop)[0][0]
        assert ended.end_us is not None
        assert ended.end_us - begun.start_us >= stood_us


def test_a_killed_program_asks_at_the_next_start_and_is_answered_by_one_press(path: Path) -> None:
    for program in running(path):
        assert program.line(20) == "open"
    sign = heartbeat.read(path)
    assert sign is not None
    time.sleep(5.5)
    for program in running(path):
        assert program.line(20) == "open"
        assert program.line(5) == f"{QuestionReason.POWER} None"
    for program in running(path):
        assert program.line(20) == "open"
        assert program.line(5) == f"{QuestionReason.POWER} None"
    with closing(Record.open(path, SystemClock())) as record:
        (asked,) = questions.open_questions(record.floor)
        begun = interval(record)
        assert (asked.about_id, asked.sure_us) == (begun.id, sign.at_us)
        record.press("Stopped", lambda tx: answers.stopped(tx, asked, sign.at_us))
        ended = record.floor.get(Interval, begun.id)
        assert (ended.end_us, ended.end_sure) == (sign.at_us, Certainty.AMENDED)
        assert not record.floor.running
    assert check(path) == []


def has_time_namespaces() -> bool:
    done = subprocess.run([*AHEAD, "true"], capture_output=True, check=False) if sys.platform == "linux" else None
    return done is not None and done.returncode == 0


@pytest.mark.skipif(not has_time_namespaces(), reason="this machine makes no time namespaces")
def test_a_boot_time_that_has_run_on_an_hour_is_an_hour_and_the_wall_is_asked_about(path: Path) -> None:
    with closing(Record.open(path, SystemClock())) as record:
        Watch(record).start()
        before_us = record.instant()
    for program in running(path, *AHEAD):
        assert program.line(20) == "open"
        said = [program.line(5), program.line(5)]
        assert said[0] is not None
        why, shift = said[0].rsplit(" ", 1)
        assert why == QuestionReason.SET
        assert abs(int(shift) + HOUR_US) < 60_000_000
        assert said[1] == f"{QuestionReason.POWER} None"
    sign = heartbeat.read(path)
    assert sign is not None
    assert HOUR_US <= sign.at_us - before_us < HOUR_US + 60_000_000
    assert check(path) == []
