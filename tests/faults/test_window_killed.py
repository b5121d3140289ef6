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
from shopclock.record.read.read_only import ReadOnlyRecord
from shopclock.shop.recovery import answers, questions
from shopclock.shop.setup import patterns
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Interval, Question
from shopclock.shop.values.kinds import QuestionReason
from shopclock.shop.work import begin
from shopclock.shop.work.batches import start_batch
from tests.shop.workshop import ROUTE

ROOT = Path(__file__).parents[2]
PATIENCE_S = 40.0


@contextmanager
def window(path: Path) -> Iterator[subprocess.Popen[bytes]]:
    """The program as it is started, with no screen, until it is killed."""
    env = {**os.environ, "QT_QPA_PLATFORM": "offscreen"}
    command = [sys.executable, "-c", "import sys; from shopclock.app import main; sys.exit(main(sys.argv[1:]))"]
    with subprocess.Popen([*command, "--record", str(path)], cwd=ROOT, env=env) as program:
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


def begun_at(path: Path) -> Interval:
    """A record in which bevels have just been started."""
    with closing(Record.open(path, SystemClock(), make=True, zone="Europe/Vienna")) as record:
        pattern, _ = record.press("Route", lambda tx: patterns.copy_route(tx, ROUTE, "Spreader"))
        batch, _ = record.press("Batch", lambda tx: start_batch(tx, pattern, 3, "26-1"))
        bevel = next(s for s in record.floor.steps(batch.id) if s.name == "Bevel")
        return record.press("Start", lambda tx: begin.begin(tx, bevel))[0]


def test_a_killed_window_asks_at_its_next_start(tmp_path: Path) -> None:
    path = tmp_path / "shop.shopclock"
    begun = begun_at(path)
    with window(path) as program:
        until(program, lambda: heartbeat.read(path) is not None)
    sign = heartbeat.read(path)
    assert sign is not None
    time.sleep(5.5)
    with window(path) as program:
        until(program, lambda: bool(asked(path)))
        (question,) = asked(path)
    assert (question.why, question.about_id) == (QuestionReason.POWER, begun.id)
    assert question.sure_us >= sign.at_us
    with closing(Record.open(path, SystemClock())) as record:
        record.press("Stopped", lambda tx: answers.stopped(tx, question, question.sure_us))
        assert not record.floor.running
    assert check(path) == []


@pytest.mark.long
def test_a_window_that_stood_still_asks_nothing_and_has_lost_no_time(tmp_path: Path) -> None:
    """Signs of life come every 20 s: the next one shows that the window is at work again."""
    path = tmp_path / "shop.shopclock"
    begun = begun_at(path)
    with window(path) as program:
        until(program, lambda: heartbeat.read(path) is not None)
        program.send_signal(signal.SIGSTOP)
        began = time.monotonic()
        time.sleep(25)
        stood = heartbeat.read(path)
        program.send_signal(signal.SIGCONT)
        until(program, lambda: heartbeat.read(path) != stood)
        stood_us = (time.monotonic() - began) * 1e6
        assert asked(path) == []
    with closing(Record.open(path, SystemClock())) as record:
        ended = record.press("Stop", begin.stop)[0][0]
        assert (ended.id, ended.start_us) == (begun.id, begun.start_us)
        assert (ended.end_us or 0) - begun.start_us >= stood_us
    assert check(path) == []
