"""With real clocks: a program that stands still, one that is killed, a machine whose boot time has run on."""

import os
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.file import heartbeat
from shopclock.record.press.record import Record
from shopclock.record.press.watch import GONE_US, Watch
from shopclock.shop.recovery import answers, questions
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Interval
from shopclock.shop.values.kinds import Certainty, QuestionReason
from shopclock.shop.work import begin
from tests.faults import bevels
from tests.faults.stay_open import TICKED

ROOT = Path(__file__).parents[2]
HOUR_US = 3_600_000_000
PATIENCE_S = 300
COMMAND = (sys.executable, "-m", "tests.faults.stay_open")
AHEAD = ("unshare", "--user", "--map-root-user", "--time", "--boottime", "3600", "--fork", "--kill-child")
"""Runs a program in a namespace of its own whose boot time is an hour ahead: as after a sleep of an hour."""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    found = tmp_path / "shop.shopclock"
    bevels.make(found)
    return found


class Open:
    """The program running by itself; what it says is read line by line."""

    def __init__(self, command: list[str]) -> None:
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT)
        assert self.process.stdout is not None
        self._out = self.process.stdout
        self._rest = b""

    def line(self) -> str:
        """The next thing it says."""
        while b"\n" not in self._rest:
            assert select.select([self._out], [], [], PATIENCE_S)[0], "it says nothing"
            got = os.read(self._out.fileno(), 4096)
            assert got, "it has ended"
            self._rest += got
        said, _, self._rest = self._rest.partition(b"\n")
        return said.decode()

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()
        self._out.close()


@contextmanager
def running(path: Path, *, before: tuple[str, ...] = (), begin: bool = False) -> Iterator[Open]:
    made = Open([*before, *COMMAND, str(path), *(["begin"] if begin else [])])
    try:
        yield made
    finally:
        made.kill()


def interval(record: Record) -> Interval:
    (found,) = (i for i in record.floor.running.values() if i.kind.attended)
    return found


def test_a_program_that_was_stopped_and_goes_on_has_lost_no_time_and_asks_nothing(path: Path) -> None:
    with running(path, begin=True) as program:
        assert program.line() == "open"
        program.process.send_signal(signal.SIGSTOP)
        began = time.monotonic()
        time.sleep(3.5)
        program.process.send_signal(signal.SIGCONT)
        program.process.send_signal(signal.SIGUSR1)
        assert program.line() == TICKED
        stood_us = (time.monotonic() - began) * 1e6
    with closing(Record.open(path, SystemClock())) as record:
        begun = interval(record)
        ended = record.press("Stop", begin.stop)[0][0]
        assert ended.end_us is not None
        assert ended.end_us - begun.start_us >= stood_us


def test_a_killed_program_asks_at_the_next_start_and_is_answered_by_one_press(path: Path) -> None:
    with running(path, begin=True) as program:
        assert program.line() == "open"
    sign = heartbeat.read(path)
    assert sign is not None
    time.sleep(GONE_US / 1e6 + 0.5)
    for _ in range(2):
        with running(path) as program:
            assert program.line() == "open"
            assert program.line() == f"{QuestionReason.POWER} None"
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
        bevels.start(record)
        Watch(record).start()
        before_us, began = record.instant(), time.monotonic()
    with running(path, before=AHEAD) as program:
        assert program.line() == "open"
        said = [program.line(), program.line()]
        why, shift = said[0].rsplit(" ", 1)
        assert why == QuestionReason.SET
        assert abs(int(shift) + HOUR_US) < 60_000_000
        assert said[1] == f"{QuestionReason.POWER} None"
    sign = heartbeat.read(path)
    assert sign is not None
    passed_us = (time.monotonic() - began) * 1e6
    assert HOUR_US <= sign.at_us - before_us <= HOUR_US + passed_us
    assert check(path) == []
