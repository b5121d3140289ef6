"""A second start meets a first window that is slow: it says so, and waits until it is heard or the record is free."""

from __future__ import annotations

import errno
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest

from shopclock.record.file import lock
from shopclock.record.file.error_text import FAILED, DiskFailed
from shopclock.record.press.record import Record
from shopclock.screens.start import opening
from shopclock.screens.start.one_window import OneWindow
from shopclock.shop.values.clock import SystemClock
from tests.walks.test_copies import offers_routes, started

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

LONG_MS = 300_000


@pytest.fixture
def path(tmp_path: Path) -> Path:
    found = tmp_path / "shop.shopclock"
    Record.open(found, SystemClock(), make=True, zone="Europe/Vienna").close()
    return found


@pytest.fixture
def first(path: Path) -> Iterator[OneWindow]:
    """A window that has the record, and doesn't listen yet."""
    one = OneWindow(path)
    assert one.take()
    yield one
    one.release()


@pytest.fixture
def ended(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """With which exit codes the program was ended."""
    codes: list[int] = []
    monkeypatch.setattr(opening, "QApplication", SimpleNamespace(exit=codes.append))
    return codes


def test_a_window_that_listens_hears_of_a_second_start_and_comes_to_the_front(
    path: Path, qtbot: QtBot, ended: list[int]
) -> None:
    heard: list[bool] = []
    with started(path) as program:
        program.opening._one.wanted.connect(lambda: heard.append(True))
        with started(path) as second:
            assert second.frame.current == "welcome"
            qtbot.waitUntil(lambda: ended == [0])
        assert heard == [True]
        assert offers_routes(program)


def test_a_first_window_that_is_still_starting_is_waited_for(
    path: Path, first: OneWindow, qtbot: QtBot, ended: list[int]
) -> None:
    with started(path) as second:
        second.see()
        assert opening.BUSY in second.read
        assert ended == []
        with qtbot.waitSignal(first.wanted, timeout=LONG_MS):
            first.listen()
        qtbot.waitUntil(lambda: ended == [0])


def test_a_record_that_is_let_go_meanwhile_is_opened(
    path: Path, first: OneWindow, qtbot: QtBot, ended: list[int]
) -> None:
    with started(path) as second:
        first.release()
        qtbot.waitUntil(lambda: offers_routes(second))
    assert ended == []


def test_a_record_that_another_computer_left_open_names_it_and_opens_once_it_is_let_go(
    path: Path, qtbot: QtBot, ended: list[int]
) -> None:
    lock = path.with_name(f"{path.name}.lock")
    lock.write_text("77\nshopclock\nbarn\n", encoding="utf-8")
    with started(path) as second:
        second.see()
        assert f"barn opened {path} and has not let it go." in " ".join(second.read)
        lock.unlink()
        qtbot.waitUntil(lambda: offers_routes(second))
    assert ended == []


def test_one_press_takes_over_what_another_computer_left_open(path: Path, qtbot: QtBot, ended: list[int]) -> None:
    path.with_name(f"{path.name}.lock").write_text("77\nshopclock\nbarn\n", encoding="utf-8")
    with started(path) as second:
        second.see()
        second.press("Take it over")
        qtbot.waitUntil(lambda: offers_routes(second))
    assert ended == []
    assert not path.with_name(f"{path.name}.lock").exists()


def test_a_record_that_another_window_has_when_its_stick_answers_again_is_not_opened_twice(
    path: Path, first: OneWindow, qtbot: QtBot, ended: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stick that doesn't answer takes no lock: whose it is shows only once it does."""
    out: list[Exception] = []

    def may_fail(real: Callable[..., Any], error: Exception) -> Callable[..., Any]:
        def tried(*where: object, **how: object) -> object:
            if out:
                raise error
            return real(*where, **how)

        return tried

    silent, told = OSError(errno.EIO, "it is out"), DiskFailed(FAILED.format(path=path))
    monkeypatch.setattr(lock, "identity_of", may_fail(lock.identity_of, silent))
    monkeypatch.setattr(lock, "_acquire", may_fail(lock._acquire, silent))
    monkeypatch.setattr(Record, "open", may_fail(Record.open, told))
    out.append(silent)
    with started(path) as second:
        second.see()
        assert str(told) in second.read
        out.clear()
        first.listen()
        second.press("Try again")
        qtbot.waitUntil(lambda: ended == [0])
        assert second.opening._record is None


def test_a_window_by_another_name_of_the_file_is_the_first_window(path: Path, qtbot: QtBot, ended: list[int]) -> None:
    by_symlink, by_hard_link = path.with_name("sym.shopclock"), path.with_name("hard.shopclock")
    by_symlink.symlink_to(path)
    by_hard_link.hardlink_to(path)
    with started(path):
        for other in (by_symlink, by_hard_link):
            ended.clear()
            with started(other) as second:
                assert second.frame.current == "welcome"
                qtbot.waitUntil(lambda: ended == [0])
