"""Long work under a bar: it says how far it is, stops at its next row and leaves nothing; short work is never seen."""

from __future__ import annotations

import multiprocessing
import os
import time
from typing import TYPE_CHECKING

import pytest

from shopclock.exchange.workbook.beside import written_beside
from shopclock.screens.long_work import long_work
from shopclock.screens.long_work.background import AtOnce, Background
from shopclock.screens.long_work.long_work import STOPPING
from shopclock.screens.start.leaving import Leaving
from shopclock.shop.values.progress import UNWATCHED, Progress, Stopped
from tests.fake_dialogs import FakeDialogs

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

    from shopclock.screens.long_work.runner import Cancel

ROWS = 1_000_000
LONG_MS = 300_000


class Seen:
    """A bar that remembers."""

    def __init__(self) -> None:
        self.said: list[tuple[str, float | None]] = []
        self.cancel: Cancel | None = None
        self.hidden = True
        self.painted = 0

    def show_work(self, words: str, share: float | None, cancel: Cancel | None) -> None:
        self.said.append((words, share))
        self.cancel, self.hidden = cancel, False

    def hide_work(self) -> None:
        self.hidden = True

    def paint_now(self) -> None:
        self.painted += 1


def write_rows(path: Path, rows: int, pause_s: float, progress: Progress) -> int:
    with written_beside(path) as part, part.open("w") as file:
        for row in range(rows):
            file.write("row\n")
            time.sleep(pause_s)
            progress.at(row, rows, "Writing rows")
    return rows


def wait_for(gate: Path, progress: Progress) -> str:
    """Go on until a file is there, and stop when that is wanted."""
    while not gate.exists():
        time.sleep(0.01)
        progress.at(0, 0, "Waiting")
    return gate.name


def give_a_thing_that_cannot_be_sent(progress: Progress) -> object:
    progress.at(1, 1, "")
    return lambda: None


def die(progress: Progress) -> None:
    progress.at(0, 0, "")
    os._exit(1)


@pytest.fixture
def bar() -> Seen:
    return Seen()


@pytest.fixture
def background(qtbot: QtBot, bar: Seen) -> Iterator[Background]:
    made = Background(bar)
    yield made
    made.close()
    assert multiprocessing.active_children() == []


def test_the_bar_says_what_is_done_and_how_far_and_goes_when_it_is_over(
    qtbot: QtBot, background: Background, bar: Seen, tmp_path: Path
) -> None:
    heard: list[object] = []
    path = tmp_path / "rows.txt"
    background.run_long("Writing", write_rows, (path, 40, 0.03), heard.append, heard.append)
    qtbot.waitUntil(lambda: bool(heard))
    assert heard == [40]
    shares = [share for words, share in bar.said if words == "Writing rows"]
    assert shares
    assert shares == sorted(shares)
    assert bar.hidden
    assert path.read_text() == "row\n" * 40


def test_cancel_stops_it_at_its_next_row_and_leaves_nothing(
    qtbot: QtBot, background: Background, bar: Seen, tmp_path: Path
) -> None:
    heard: list[object] = []
    (tmp_path / "rows.txt").write_text("before")
    background.run_long("Writing", write_rows, (tmp_path / "rows.txt", ROWS, 0.001), heard.append, heard.append)
    qtbot.waitUntil(lambda: bar.cancel is not None)
    bar.cancel()
    assert bar.said[-1][0] == STOPPING
    qtbot.waitUntil(lambda: bool(heard))
    assert isinstance(heard[0], Stopped)
    assert [path.name for path in tmp_path.iterdir()] == ["rows.txt"]
    assert (tmp_path / "rows.txt").read_text() == "before"
    assert bar.said[-1] == (str(Stopped()), None)
    assert bar.cancel is None


def test_short_work_is_never_seen(
    qtbot: QtBot, background: Background, bar: Seen, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(long_work, "SHORT_MS", LONG_MS)
    heard: list[object] = []
    background.run_long("Writing", write_rows, (tmp_path / "rows.txt", 10, 0.01), heard.append, heard.append)
    qtbot.waitUntil(lambda: bool(heard))
    assert bar.said == []


def test_one_job_follows_the_other_and_what_is_asked_meanwhile_waits_for_none(
    qtbot: QtBot, background: Background, tmp_path: Path
) -> None:
    heard: list[object] = []
    one, two = tmp_path / "one", tmp_path / "two"
    two.touch()
    for gate in (one, two):
        background.run_long(gate.name, wait_for, (gate,), heard.append, heard.append)
    background.run(abs, (-7,), heard.append, heard.append)
    qtbot.waitUntil(lambda: heard == [7])
    one.touch()
    qtbot.waitUntil(lambda: len(heard) == 3)
    assert heard == [7, "one", "two"]


@pytest.mark.parametrize("task", [give_a_thing_that_cannot_be_sent, die])
def test_whatever_goes_wrong_is_handed_on_and_the_next_job_is_done(
    qtbot: QtBot, background: Background, tmp_path: Path, task: object
) -> None:
    heard: list[object] = []
    background.run_long("", task, (), heard.append, heard.append)
    background.run_long("", write_rows, (tmp_path / "rows", 3, 0), heard.append, heard.append)
    qtbot.waitUntil(lambda: len(heard) == 2)
    assert isinstance(heard[0], RuntimeError)
    assert heard[1] == 3


def test_what_the_window_waits_for_is_painted_and_the_bar_is_then_as_it_was(
    qtbot: QtBot, background: Background, bar: Seen, tmp_path: Path
) -> None:
    with background.one_moment() as moment:
        assert bar.said == [("One moment", None)]
        moment.at(50, 200, "")
        assert bar.said[-1] == ("One moment", 0.25)
        assert bar.cancel is None
        assert bar.painted == len(bar.said)
    assert bar.hidden
    background.run_long("Writing", write_rows, (tmp_path / "rows.txt", ROWS, 0.1), lambda _: None, lambda _: None)
    qtbot.waitUntil(lambda: bar.cancel is not None, timeout=LONG_MS)
    writing = bar.said[-1]
    with background.one_moment():
        assert bar.said[-1] == ("One moment", None)
    assert bar.said[-1] == writing
    assert bar.cancel is not None
    bar.cancel()


def test_nobody_watches_what_is_done_at_once(tmp_path: Path) -> None:
    heard: list[object] = []
    AtOnce().run_long("", write_rows, (tmp_path / "rows", 3, 0), heard.append, heard.append)
    with AtOnce().one_moment() as moment:
        moment.at(1, 2, "")
    assert heard == [3]
    assert write_rows(tmp_path / "rows", 2, 0, UNWATCHED) == 2


class Closing:
    """A window that counts how often it closes."""

    def __init__(self, *answers: str | None) -> None:
        self.dialogs = FakeDialogs(list(answers))
        self.may_close = lambda: True
        self.closed = 0

    def close(self) -> None:
        self.closed += self.may_close()


@pytest.mark.parametrize(("answer", "closes", "kind"), [("wait", 1, int), ("stop", 1, Stopped), ("stay", 0, int)])
def test_a_window_that_is_closed_meanwhile_says_so_and_waits_or_stops_it(
    qtbot: QtBot, background: Background, tmp_path: Path, answer: str, closes: int, kind: type
) -> None:
    heard: list[object] = []
    window = Closing(answer)
    Leaving(window, background.long_work)
    background.run_long("Writing rows", write_rows, (tmp_path / "rows", 30, 0.05), heard.append, heard.append)
    window.close()
    assert [asked.words for asked in window.dialogs.asked] == ["Writing rows is still going on"]
    assert window.closed == 0
    qtbot.waitUntil(lambda: bool(heard))
    assert isinstance(heard[0], kind)
    qtbot.waitUntil(lambda: window.closed == closes)
    assert (tmp_path / "rows").exists() == (kind is int)


def test_once_closed_the_bar_is_left_alone(background: Background, bar: Seen) -> None:
    with background.one_moment():
        assert not bar.hidden
        background.close()
    assert not bar.hidden
