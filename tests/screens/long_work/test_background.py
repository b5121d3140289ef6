"""Long work beside the window: its answer comes back, and a process that was ended is followed by another."""

from __future__ import annotations

import multiprocessing
import os
import subprocess
import sys
import time
from operator import add
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from shopclock.screens.long_work import priority, worker
from shopclock.screens.long_work.background import Background

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot

    from shopclock.shop.values.progress import Progress


def whose(progress: Progress) -> int:
    progress.at(1, 1, "")
    return os.getpid()


def count_to(path: Path, last: int, progress: Progress) -> None:
    for n in range(last + 1):
        path.write_text(str(n))
        progress.at(n, last, "")
        time.sleep(0.01)


def wait_for_ever(begun: Path) -> None:
    begun.touch()
    while True:
        time.sleep(1)


@pytest.fixture
def background(qtbot: QtBot) -> Iterator[Background]:
    made = Background()
    yield made
    made.close()


def test_an_answer_comes_back_and_so_does_an_error(qtbot: QtBot, background: Background) -> None:
    heard: list[object] = []
    background.run(add, (2, 3), heard.append, heard.append)
    background.run(add, (2, "3"), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 2)
    assert heard[0] == 5
    assert isinstance(heard[1], TypeError)


def test_work_goes_on_after_its_process_was_ended(qtbot: QtBot, background: Background) -> None:
    heard: list[object] = []
    background.run(os._exit, (1,), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 1)
    assert isinstance(heard[0], Exception)
    background.run(add, (2, 3), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 2)
    assert heard[1] == 5


def test_work_that_cannot_be_sent_has_failed_and_the_next_is_done(qtbot: QtBot, background: Background) -> None:
    heard: list[object] = []
    background.run(lambda: 1, (), heard.append, heard.append)
    background.run(add, (2, 3), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 2)
    assert isinstance(heard[0], Exception)
    assert heard[1] == 5


def test_the_same_process_does_one_after_the_other_also_what_is_long(qtbot: QtBot, background: Background) -> None:
    heard: list[object] = []
    background.run(os.getpid, (), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 1)
    background.run_long("", whose, (), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 2)
    background.run(os.getpid, (), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 3)
    assert len(set(heard)) == 1
    assert heard[0] != os.getpid()


def test_a_process_that_has_nothing_to_do_is_ended_after_a_while_and_another_comes(
    qtbot: QtBot, background: Background, monkeypatch: pytest.MonkeyPatch
) -> None:
    heard: list[object] = []
    assert multiprocessing.active_children() == []
    monkeypatch.setattr(worker, "IDLE_MS", 1)
    background.run(os.getpid, (), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 1 and multiprocessing.active_children() == [])
    background.run(os.getpid, (), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 2)
    assert heard[0] != heard[1]


@pytest.mark.skipif(not hasattr(os, "nice"), reason="only systems of Unix tell how nice a process is")
def test_a_process_gives_way_to_the_window(
    qtbot: QtBot, background: Background, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(priority, "BESIDE", 3)
    heard: list[object] = []
    background.run(os.nice, (0,), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 1)
    assert heard == [os.nice(0) + 3]


def test_what_is_being_done_when_the_window_closes_is_done_to_its_end(qtbot: QtBot, tmp_path: Path) -> None:
    background = Background()
    background.run_long("", count_to, (tmp_path / "counted", 20), lambda _: None, lambda _: None)
    qtbot.waitUntil((tmp_path / "counted").exists)
    background.close()
    assert (tmp_path / "counted").read_text() == "20"
    assert multiprocessing.active_children() == []


WINDOW = """
import sys
from pathlib import Path
from tests.screens.long_work.test_background import tell_who_and_wait_for_ever
from shopclock.screens.long_work.worker import Worker
if __name__ == "__main__":
    worker = Worker(lambda *_: None)
    worker.do(1, tell_who_and_wait_for_ever, (Path(sys.argv[1]),), watched=False)
    worker.wait()
"""
"""A window that is ended from outside while its worker works."""


def tell_who_and_wait_for_ever(who: Path) -> None:
    part = who.with_suffix(".part")
    part.write_text(str(os.getpid()))
    part.rename(who)
    while True:
        time.sleep(1)


@pytest.mark.skipif(sys.platform == "win32", reason="there a number says nothing of whether a process runs")
def test_a_worker_ends_with_a_window_that_was_ended_from_outside(qtbot: QtBot, tmp_path: Path) -> None:
    script, who = tmp_path / "window.py", tmp_path / "who"
    script.write_text(WINDOW)
    top = str(Path(__file__).parents[3])
    window = subprocess.Popen([sys.executable, str(script), str(who)], env={**os.environ, "PYTHONPATH": top})
    qtbot.waitUntil(who.exists, timeout=60_000)
    worker_number = int(who.read_text())
    assert runs(worker_number)
    window.terminate()
    window.wait()
    qtbot.waitUntil(lambda: not runs(worker_number), timeout=60_000)


def runs(number: int) -> bool:
    """A process of this number is there that has not ended: one that nobody has asked after counts as ended."""
    state = subprocess.run(["ps", "-o", "stat=", "-p", str(number)], capture_output=True, text=True, check=False).stdout
    return bool(state.strip()) and not state.startswith("Z")


def test_an_answer_that_nobody_waits_for_any_more_is_dropped_when_the_window_closes(
    qtbot: QtBot, tmp_path: Path
) -> None:
    background = Background()
    background.run(wait_for_ever, (tmp_path / "begun",), lambda _: None, lambda _: None)
    qtbot.waitUntil((tmp_path / "begun").exists)
    background.close()
    assert multiprocessing.active_children() == []
