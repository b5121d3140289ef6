"""The record is taken away under the open window, and the window is closed: the next start has all that was pressed."""

from __future__ import annotations

import shutil
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from shopclock.record.check.check import check
from shopclock.record.file.engine import log_of
from shopclock.record.press.record import Record
from shopclock.record.rescue.moved import goes_on_at
from shopclock.shop.state import settings
from shopclock.shop.values.clock import SystemClock
from tests.faults import bevels
from tests.walks.test_copies import Started, started, theme

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
        assert again.frame.current == "today"


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
        qtbot.waitUntil(lambda: again.frame.current == "today")
        assert again.opening._path == path
    with started(path) as again:
        assert again.frame.current == "today", "what was answered is not asked again"


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
