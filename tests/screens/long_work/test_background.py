"""Long work beside the window: its answer comes back, and a process that was ended is followed by another."""

from __future__ import annotations

import os
from operator import add
from typing import TYPE_CHECKING

import pytest

from shopclock.screens.long_work.background import Background

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pytestqt.qtbot import QtBot


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
