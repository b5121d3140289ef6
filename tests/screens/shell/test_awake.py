"""The screen is asked to stay on while somebody works, and let go after it, by the desktop's own bus."""

from __future__ import annotations

import shutil
import subprocess
import sys
from contextlib import ExitStack
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator

ON_AND_OFF = """
import sys
from PySide6.QtCore import QCoreApplication
from shopclock.screens.shell.awake import Awake, be_ready

application = QCoreApplication([])
be_ready()
awake = Awake()
for line in sys.stdin:
    awake.set(line == "on\\n")
    print("done", flush=True)
"""


@pytest.fixture
def bus() -> Iterator[str]:
    """Address of a bus of our own, on which no screen saver answers."""
    if not sys.platform.startswith("linux") or shutil.which("dbus-daemon") is None:
        pytest.skip("There is no dbus-daemon here.")
    with ExitStack() as left:
        command = ["dbus-daemon", "--session", "--nofork", "--print-address=1"]
        daemon = left.enter_context(subprocess.Popen(command, stdout=subprocess.PIPE, text=True))
        left.callback(daemon.terminate)
        assert daemon.stdout is not None
        yield daemon.stdout.readline().strip()


def test_inhibit_is_sent_while_on_and_its_session_ends_with_off(bus: str) -> None:
    with ExitStack() as left:

        def started(*command: str) -> subprocess.Popen[str]:
            pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
            env = {"DBUS_SESSION_BUS_ADDRESS": bus, "QT_QPA_PLATFORM": "offscreen"}
            made = left.enter_context(subprocess.Popen(command, text=True, env=env, **pipes))
            left.callback(made.terminate)
            return made

        monitor = started("timeout", "120", "dbus-monitor", "--address", bus)
        assert monitor.stdout is not None
        heard = iter(monitor.stdout)
        next(line for line in heard if "NameLost" in line)  # it listens
        program = started(sys.executable, "-c", ON_AND_OFF)
        assert program.stdin is not None
        program.stdin.write("on\n")
        program.stdin.flush()
        asked = next(line for line in heard if "member=Inhibit" in line)
        assert "destination=org.freedesktop.ScreenSaver" in asked
        assert [next(heard).strip() for _ in range(2)] == ['string "Shopclock"', 'string "work is running"']
        sender = asked.split("sender=")[1].split()[0]
        program.stdin.write("off\n")
        program.stdin.flush()
        owners = ([next(heard).strip() for _ in range(3)] for line in heard if "NameOwnerChanged" in line)
        ended = next(told for told in owners if sender in told[0])
        assert ended[1:] == [f'string "{sender}"', 'string ""'], "its session has ended: that is the release"
