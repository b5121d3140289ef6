"""Two windows and one server: what is pressed at one is at the other; a server that is away holds nobody up."""

import os
from collections.abc import Iterator
from contextlib import closing
from multiprocessing import Pipe
from pathlib import Path

import pytest
from PySide6.QtCore import QObject
from pytestqt.qtbot import QtBot

from shopclock.record.check.check import check
from shopclock.record.press.record import Record
from shopclock.record.server import joining_in
from shopclock.record.server.exchange import Standing, Who
from shopclock.record.server.server import Server
from shopclock.record.server.worker import LOOK, _Loop
from shopclock.screens.files.exchanging import NOT_LEVEL, Exchanging
from shopclock.screens.long_work import priority
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Interval, Maker
from shopclock.shop.work import begin
from tests.record.joining.several import OneBench, rows_of
from tests.record.machine import Machine
from tests.record.on_disk import DiskShop
from tests.record.server.postgres import Postgres

PATIENCE_MS = 60_000


class Window:
    """What a window has of the exchange, on the machine's own clock."""

    def __init__(self, path: Path, where: str, parent: QObject, maker: int) -> None:
        self.bench = OneBench(path, SystemClock(), maker)
        self.record = self.bench.record
        self.told: list[str] = []
        self.exchanging = Exchanging(self.record, where, parent, self.told.append)
        self.exchanging.start()

    @property
    def level(self) -> bool:
        standing = self.exchanging.standing
        return not standing.away and not self.exchanging.waiting and not standing.to_take

    def close(self) -> None:
        self.exchanging.stop()
        self.record.close()


@pytest.fixture
def windows(tmp_path: Path, where: str, qapp: object) -> Iterator[tuple[Window, Window]]:
    first = DiskShop(tmp_path, 4, 3, clock=Machine(SystemClock().moment().wall_us - 60_000_000, boot_id="before"))
    first.press(lambda tx: tx.add(Maker(name="Ona")))
    first.close()
    with closing(Record.open(first.path, SystemClock())) as record:
        joining_in.init(record, where)
    kitchen = tmp_path / "kitchen.shopclock"
    joining_in.join(kitchen, where, SystemClock())
    parent = QObject()
    both = Window(first.path, where, parent, 0), Window(kitchen, where, parent, 1)
    yield both
    for window in both:
        window.close()


def test_a_press_in_one_window_is_in_the_other(windows: tuple[Window, Window], qtbot: QtBot) -> None:
    one, other = windows
    qtbot.waitUntil(lambda: one.level and other.level, timeout=PATIENCE_MS)
    step = next(s for s in one.record.floor.steps(1) if s.name == "Saw")
    started, _ = one.record.press("Start", lambda tx: begin.begin(tx, step))
    qtbot.waitUntil(lambda: other.record.floor.find(Interval, started.id) is not None, timeout=PATIENCE_MS)
    other.record.maker = one.record.maker
    other.record.press("Stop", begin.stop)
    qtbot.waitUntil(lambda: not other.record.floor.running and not one.record.floor.running, timeout=PATIENCE_MS)


def test_the_last_press_before_a_window_closes_is_sent(
    windows: tuple[Window, Window], where: str, qtbot: QtBot
) -> None:
    """As *Stop and close* makes it: else another bench would see the clock run all night."""
    one, other = windows
    qtbot.waitUntil(lambda: one.level and other.level, timeout=PATIENCE_MS)
    step = next(s for s in one.record.floor.steps(1) if s.name == "Saw")
    one.record.press("Start", lambda tx: begin.begin(tx, step))
    qtbot.waitUntil(lambda: one.level and other.level, timeout=PATIENCE_MS)
    one.record.press("Stop", begin.stop)
    one.exchanging.stop()
    with closing(Server(where)) as server:
        assert server.known()[one.record.bench.id] == one.record.sequence


@pytest.mark.skipif(not hasattr(os, "getpriority"), reason="the system has no such priorities")
def test_the_worker_gives_way_to_the_window(tmp_path: Path, qapp: object, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(priority, "BESIDE", 3)
    shop, parent = DiskShop(tmp_path, 4, 3), QObject()
    exchanging = Exchanging(shop.record, "host=/nowhere", parent, lambda _: None)
    exchanging.start()
    assert os.getpriority(os.PRIO_PROCESS, exchanging._process.pid) == os.getpriority(os.PRIO_PROCESS, 0) + 3
    exchanging.stop()
    shop.close()


def test_a_worker_that_dies_is_followed_by_another(windows: tuple[Window, Window], qtbot: QtBot) -> None:
    one, other = windows
    qtbot.waitUntil(lambda: one.level and other.level, timeout=PATIENCE_MS)
    first = one.exchanging._process
    first.kill()
    qtbot.waitUntil(lambda: one.exchanging.standing.away, timeout=PATIENCE_MS)
    assert len(one.exchanging.standing.benches) == 2
    step = next(s for s in one.record.floor.steps(1) if s.name == "Saw")
    started, _ = one.record.press("Start", lambda tx: begin.begin(tx, step))
    qtbot.waitUntil(lambda: other.record.floor.find(Interval, started.id) is not None, timeout=PATIENCE_MS)
    qtbot.waitUntil(lambda: one.level, timeout=PATIENCE_MS)
    assert one.exchanging._process.pid != first.pid


def test_presses_go_on_while_the_server_hangs(windows: tuple[Window, Window], postgres: Postgres, qtbot: QtBot) -> None:
    """More of them than the line to the worker holds, which nobody reads meanwhile."""
    one, other = windows
    qtbot.waitUntil(lambda: one.level and other.level, timeout=PATIENCE_MS)
    step = next(s for s in one.record.floor.steps(1) if s.name == "Saw")
    before = one.record.sequence
    postgres.pause()
    try:
        for _ in range(700):
            one.record.press("Start", lambda tx: begin.begin(tx, step))
            one.record.press("Stop", begin.stop)
    finally:
        postgres.go_on()
    assert one.record.sequence == before + 1_400
    qtbot.waitUntil(
        lambda: one.level and other.level and one.record.level() == other.record.level(), timeout=PATIENCE_MS
    )


def test_what_is_pressed_while_the_worker_is_busy_wakes_it_again(tmp_path: Path, qapp: object) -> None:
    """By what the server has, as the worker says it: no press waits for the next slow look."""
    shop = DiskShop(tmp_path, 4, 3)
    parent = QObject()
    exchanging = Exchanging(shop.record, "host=/nowhere", parent, lambda _: None)
    exchanging._line, far = Pipe()
    shop.press(lambda tx: tx.add(Maker(name="Ona")))
    assert far.recv() == "pressed"
    shop.press(lambda tx: tx.add(Maker(name="Ruk")))
    assert not far.poll(), "it is woken once"
    exchanging._hear(("standing", Standing(sent=shop.record.sequence - 1)))
    assert far.recv() == "pressed"
    exchanging._hear(("standing", Standing("The server is not reached.", away=True)))
    exchanging._hear(("standing", Standing(sent=shop.record.sequence)))
    assert not far.poll()
    shop.close()


def test_what_somebody_has_to_see_to_is_told_and_that_the_server_is_away_is_not(tmp_path: Path, qapp: object) -> None:
    shop = DiskShop(tmp_path, 4, 3)
    parent, told = QObject(), list[str]()
    exchanging = Exchanging(shop.record, "host=/nowhere", parent, told.append)
    exchanging._line, _far = Pipe()
    exchanging._hear(("standing", Standing("This bench's clock is 4 min behind the server's.")))
    exchanging._hear(("standing", Standing("The server is not reached.", away=True, passes=True)))
    exchanging._hear(("standing", Standing("The server's disk is full.", away=True)))
    assert told == ["This bench's clock is 4 min behind the server's.", "", NOT_LEVEL]
    shop.close()


def test_a_worker_that_waits_for_a_server_tries_again_when_somebody_looks(tmp_path: Path) -> None:
    window, far = Pipe()
    loop = _Loop(far, tmp_path / "x.shopclock", "host=/nowhere", Who("", 1, "shop", ""))
    for said in ("pressed", LOOK, "pressed"):
        window.send(said)
    loop._rest(10_000)
    assert far.recv() == "pressed", "it rests on while others press, until somebody looks"
    assert not far.poll()


def test_presses_go_on_while_the_server_is_away(
    windows: tuple[Window, Window], postgres: Postgres, qtbot: QtBot
) -> None:
    one, other = windows
    qtbot.waitUntil(lambda: one.level and other.level, timeout=PATIENCE_MS)
    postgres.kill()
    try:
        names = ("start", "start with", "done", "stop", "next", "letters", "carry on")
        made = 0
        for place in range(40):
            for window in windows:
                made += window.bench.one(names[(place + made) % len(names)], place, made)
        assert made > 20
        qtbot.waitUntil(lambda: one.exchanging.standing.away and other.exchanging.standing.away, timeout=PATIENCE_MS)
        assert "kept here" in one.exchanging.standing.sentence
        assert set(one.told) == {""}, "it comes back by itself"
    finally:
        postgres.start()
    qtbot.waitUntil(
        lambda: one.level and other.level and one.record.level() == other.record.level(), timeout=PATIENCE_MS
    )
    for window in windows:
        window.close()
    assert rows_of(one.record.path) == rows_of(other.record.path)
    assert check(one.record.path) == check(other.record.path) == []
