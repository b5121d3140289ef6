"""The record is taken away under the open window, and the window is closed: the next start has all that was pressed."""

from __future__ import annotations

import shutil
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.file import disk
from shopclock.record.file.engine import log_of
from shopclock.record.file.error_text import FAILED, DiskFailed
from shopclock.record.file.refuge import refuge_at
from shopclock.record.press.record import Record
from shopclock.record.rescue.moved import goes_on_at
from shopclock.shop.state import settings
from shopclock.shop.values.clock import SystemClock
from tests.faults import bevels
from tests.walks.test_copies import Started, offers_routes, started, theme

if TYPE_CHECKING:
    from pathlib import Path

    from pytestqt.qtbot import QtBot


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    found = tmp_path / "shop" / "shop.shopclock"
    Record.open(found, SystemClock(), make=True, zone="Europe/Vienna").close()
    return found


def choose_paper(program: Started) -> None:
    record = program.opening._record
    assert record is not None
    record.press("Colours", lambda tx: settings.set_value(tx, settings.THEME, "paper"))


def test_a_window_closed_on_a_record_that_was_removed_puts_all_of_it_back(path: Path) -> None:
    with started(path) as program:
        choose_paper(program)
        path.unlink()
    assert theme(path) == "paper"
    assert check(path) == []
    with started(path) as again:
        assert offers_routes(again)


def test_a_window_closed_on_an_older_state_leaves_it_and_the_next_start_asks_which(path: Path, qtbot: QtBot) -> None:
    older = shutil.copy(path, path.with_name("older"))
    with started(path) as program:
        record = program.opening._record
        assert record is not None
        bevels.furnish(record)
        record.rest()
        choose_paper(program)
        shutil.move(older, path)
    assert theme(path) == "dark"
    assert check(path) == []
    there = goes_on_at(path)
    assert there is not None
    assert theme(there) == "paper"
    with started(path) as again:
        again.see()
        again.press("Go on there")
        qtbot.waitUntil(lambda: again.frame.current == "today")
        assert again.opening._path == there
    with started(path) as again:
        again.see()
        again.press("Open this one")
        qtbot.waitUntil(lambda: offers_routes(again))
        assert again.opening._path == path
    with started(path) as again:
        assert offers_routes(again), "what was answered is not asked again"


def test_a_log_of_another_state_is_told_at_the_start(path: Path) -> None:
    older = path.read_bytes()
    with closing(Record.open(path, SystemClock())) as record:
        bevels.furnish(record)
        record.rest()
        record.press("Colours", lambda tx: settings.set_value(tx, settings.THEME, "paper"))
        record.give_sign(record.clock.moment())
        log, sign = log_of(path).read_bytes(), path.with_name(f"{path.name}.life").read_bytes()
    path.write_bytes(older)
    log_of(path).write_bytes(log)
    path.with_name(f"{path.name}.life").write_bytes(sign)
    with started(path) as program:
        program.see()
        assert "is not of this state of the record" in " ".join(program.read)


def test_a_disk_that_fails_at_the_start_can_be_tried_again(
    path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, fails = Record.open, [True]

    def may_fail(*where: object, **how: object) -> Record:
        if fails:
            fails.clear()
            raise DiskFailed(FAILED.format(path=path))
        return opened(*where, **how)  # type: ignore[arg-type]  # handed on as they came

    monkeypatch.setattr(Record, "open", may_fail)
    with started(path) as program:
        program.see()
        assert "can't be read or written just now" in " ".join(program.read)
        program.press("Try again")
        qtbot.waitUntil(lambda: offers_routes(program))


def test_what_was_pressed_on_a_stick_goes_on_here_when_it_is_not_plugged_in(
    path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(disk, "can_go_away", lambda _: True)
    with started(path) as program:
        qtbot.waitUntil(lambda: refuge_at(path) is not None)
        choose_paper(program)
    found = refuge_at(path)
    assert found is not None
    assert found.folder.stat().st_mode & 0o777 == 0o700
    assert {one.stat().st_mode & 0o777 for one in found.folder.iterdir()} == {0o600}
    shutil.rmtree(path.parent)
    with started(path) as again:
        again.see()
        assert "The disk of shop.shopclock is not there" in again.read
        again.press("Go on here")
        qtbot.waitUntil(lambda: offers_routes(again))
        there = again.opening._path
    assert there is not None
    assert not path.parent.exists(), "nothing is made where the stick was"
    assert theme(there) == "paper"
    assert check(there) == []
