"""The real window killed with work running: at its next start it asks, and one answer puts the record right."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from shopclock.record.check.check import check
from shopclock.record.file import heartbeat
from shopclock.record.press.record import Record
from shopclock.record.press.watch import GONE_US, SIGN_US
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.recovery import answers, questions
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Interval, Question
from shopclock.shop.values.kinds import QuestionReason
from shopclock.shop.work import begin
from tests.faults import bevels

ROOT = Path(__file__).parents[2]
PATIENCE_S = 300.0


AGAIN = (sys.executable, "-c", "import sys; from shopclock.app import main; main(['--record', sys.argv[1]])")
AT_WORK = (sys.executable, "-m", "tests.faults.at_work")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    found = tmp_path / "shop.shopclock"
    bevels.make(found)
    return found


@contextmanager
def window(command: tuple[str, ...], path: Path) -> Iterator[subprocess.Popen[bytes]]:
    """The program with no screen, until it is killed."""
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    with subprocess.Popen([*command, str(path)], cwd=ROOT, env=env) as program:
        try:
            yield program
        finally:
            program.kill()


def until(program: subprocess.Popen[bytes], true: Callable[[], bool]) -> None:
    """Wait until something is so; the program has to be running meanwhile."""
    limit = time.monotonic() + PATIENCE_S
    while not true():
        assert program.poll() is None, "the program has ended"
        assert time.monotonic() < limit, "it did not happen"
        time.sleep(0.1)


def asked(path: Path) -> list[Question]:
    with ReadOnlyRecord.open(path) as reading:
        return list(questions.open_questions(reading.floor))


def begun(path: Path, program: subprocess.Popen[bytes]) -> Interval:
    """The bevels that the window has started, once they are on disk and a sign of life is there."""
    found: list[Interval] = []

    def at_work() -> bool:
        with ReadOnlyRecord.open(path) as reading:
            found.extend(reading.floor.running.values())
        return bool(found) and heartbeat.read(path) is not None

    until(program, at_work)
    return found[0]


def test_a_killed_window_asks_at_its_next_start(path: Path) -> None:
    with window(AT_WORK, path) as program:
        interval = begun(path, program)
    sign = heartbeat.read(path)
    assert sign is not None
    time.sleep(GONE_US / 1e6 + 0.5)
    with window(AGAIN, path) as program:
        until(program, lambda: bool(asked(path)))
        (question,) = asked(path)
    assert (question.why, question.about_id) == (QuestionReason.POWER, interval.id)
    assert question.sure_us >= sign.at_us
    with closing(Record.open(path, SystemClock())) as record:
        record.press("Stopped", lambda tx: answers.stopped(tx, question, question.sure_us))
        assert not record.floor.running
    assert check(path) == []


@pytest.mark.long
def test_a_window_that_stood_still_asks_nothing_and_has_lost_no_time(path: Path) -> None:
    """A sign of life after it stood shows that the window is at work again."""
    with window(AT_WORK, path) as program:
        interval = begun(path, program)
        program.send_signal(signal.SIGSTOP)
        began = time.monotonic()
        time.sleep(SIGN_US / 1e6 + 5)
        stood = heartbeat.read(path)
        program.send_signal(signal.SIGCONT)
        until(program, lambda: heartbeat.read(path) != stood)
        stood_us = (time.monotonic() - began) * 1e6
        assert asked(path) == []
    with closing(Record.open(path, SystemClock())) as record:
        ended = record.press("Stop", begin.stop)[0][0]
        assert (ended.id, ended.start_us) == (interval.id, interval.start_us)
        assert (ended.end_us or 0) - interval.start_us >= stood_us
    assert check(path) == []
