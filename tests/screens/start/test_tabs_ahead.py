"""What the other screens are made of is taken in while nothing else is to be done, and nothing heavy with it."""

from __future__ import annotations

import json
import subprocess
import sys

from shopclock.app import TABS
from shopclock.screens.start.tabs_ahead import PARTS

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


def test_there_is_a_part_of_each_screen_but_the_bench() -> None:
    screens = {part.split(".")[2] for part in PARTS if part.startswith("shopclock.screens.")}
    assert {key for key, _ in TABS} - screens == {"bench"}
