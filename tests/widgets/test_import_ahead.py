"""A library is taken in beside the window, and whoever needs it hears when it is there."""

from __future__ import annotations

import sys
import threading
from importlib import import_module
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QObject, QThread

from shopclock.widgets.import_ahead import ImportAhead

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from pytestqt.qtbot import QtBot

NAME = "a_library_that_takes_long"


@pytest.fixture
def library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Where its one file lies; it is forgotten after the test."""
    monkeypatch.syspath_prepend(tmp_path)
    yield tmp_path / f"{NAME}.py"
    sys.modules.pop(NAME, None)


def test_it_is_taken_in_on_a_thread_of_its_own_and_told_on_the_windows(qtbot: QtBot, library: Path) -> None:
    library.write_text("import threading\nTHREAD = threading.get_ident()\n")
    owner, heard = QObject(), []
    ahead = ImportAhead(NAME, owner)
    ahead.there.connect(lambda: heard.append(QThread.currentThread() == owner.thread()))
    assert not ahead.is_there
    ahead.begin()
    ahead.begin()
    qtbot.waitUntil(lambda: ahead.is_there)
    assert heard == [True]
    assert threading.get_ident() != import_module(NAME).THREAD
    assert ImportAhead(NAME, owner).is_there


def test_one_that_is_broken_is_there_too_and_says_so_to_whoever_imports_it(qtbot: QtBot, library: Path) -> None:
    library.write_text("import a_part_that_is_missing\n")
    owner = QObject()
    ahead = ImportAhead(NAME, owner)
    ahead.begin()
    qtbot.waitUntil(lambda: ahead.is_there)
    with pytest.raises(ModuleNotFoundError, match="a_part_that_is_missing"):
        import_module(NAME)
