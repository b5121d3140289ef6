"""What the other screens are made of is taken in while nothing else is to be done, and nothing heavy with it."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import QObject

from shopclock.app import TABS
from shopclock.screens.start import tabs_ahead
from shopclock.screens.start.tabs_ahead import BENCH, PARTS, TabsAhead

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

HEAVY = {"numpy", "pandas", "scipy", "pyqtgraph", "xlsxwriter", "alembic"}
TAKE_IN = """
import json, sys
from PySide6.QtCore import QCoreApplication, QTimer
from shopclock.screens.start import tabs_ahead

tabs_ahead.PAUSE_MS = 0
application = QCoreApplication([])
ahead = tabs_ahead.TabsAhead(application)
look = QTimer()
look.timeout.connect(lambda: ahead._timer.isActive() or application.quit())
look.start(1)
application.exec()
print(json.dumps(list(sys.modules)))
"""


def test_every_part_is_taken_in_one_after_the_other_and_nothing_heavy_with_it() -> None:
    command = [sys.executable, "-c", TAKE_IN]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.stderr == ""
    there = set(json.loads(done.stdout))
    assert set(PARTS) <= there
    assert not HEAVY & there


def test_there_is_a_part_of_each_screen() -> None:
    screens = {part.split(".")[2] for part in PARTS if part.startswith("shopclock.screens.")}
    assert {key for key, _ in TABS} <= screens


def test_what_is_to_be_made_of_a_part_is_made_after_it_and_before_the_next(qtbot: QtBot) -> None:
    done: list[str] = []

    def take_in(part: str) -> None:
        done.append(part)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tabs_ahead, "import_module", take_in)
        patch.setattr(tabs_ahead, "PAUSE_MS", 0)
        parent = QObject()
        ahead = TabsAhead(parent, {BENCH: lambda: done.append("the Bench")})
        qtbot.waitUntil(lambda: not ahead._timer.isActive())
    at = PARTS.index(BENCH) + 1
    assert done == [*PARTS[:at], "the Bench", *PARTS[at:]]
