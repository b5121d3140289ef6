"""A window knows whether anybody can see it, and while nobody can only what must not be missed goes on."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest
from PySide6.QtWidgets import QWidget

from shopclock.screens.shell.sight import Sight

if TYPE_CHECKING:
    from pytestqt.qtbot import QtBot

COVERED = """
import sys
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QWidget
from shopclock.screens.shell.sight import Sight

application = QApplication([])
window, cover = QWidget(), QWidget()
window.setGeometry(100, 100, 300, 200)
cover.setGeometry(50, 50, 500, 400)
window.show()
sight = Sight(window)
sight.watch()

def changed(seen):
    print("seen" if seen else "unseen")
    if seen:
        sight.stop()
        application.quit()
    else:
        cover.hide()

sight.changed.connect(changed)
QTimer.singleShot(300, cover.show)
sys.exit(application.exec())
"""


def test_a_minimised_window_is_out_of_sight_until_it_is_there_again(qtbot: QtBot) -> None:
    window, told = QWidget(), []
    qtbot.addWidget(window)
    window.show()
    qtbot.waitExposed(window)
    sight = Sight(window)
    sight.changed.connect(told.append)
    sight.watch()
    assert sight.seen
    window.showMinimized()
    qtbot.waitUntil(lambda: told == [False])
    assert not sight.seen
    window.showNormal()
    qtbot.waitUntil(lambda: told == [False, True])
    assert sight.seen


@pytest.mark.skipif(shutil.which("Xvfb") is None, reason="there is no Xvfb on this machine")
def test_a_window_that_another_covers_is_out_of_sight_until_that_goes() -> None:
    reading, writing = os.pipe()
    server = ["Xvfb", "-displayfd", str(writing), "-screen", "0", "800x600x24", "-nolisten", "tcp"]
    with subprocess.Popen(server, pass_fds=(writing,), stderr=subprocess.DEVNULL) as running:
        os.close(writing)
        with os.fdopen(reading) as told:
            environment = os.environ | {"DISPLAY": f":{told.readline().strip()}", "QT_QPA_PLATFORM": "xcb"}
        command = [sys.executable, "-c", COVERED]
        done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
        running.terminate()
    assert (done.stdout.split(), done.stderr, done.returncode) == (["unseen", "seen"], "", 0)
