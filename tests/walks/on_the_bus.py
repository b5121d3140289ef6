"""A window on a display and an accessibility bus of its own, and a screen reader's hand on that bus.

The hand runs with the system's Python, in which Debian has its AT-SPI bindings.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from contextlib import ExitStack, contextmanager
from pathlib import Path
from threading import Timer
from typing import TYPE_CHECKING, NamedTuple

from tests.walks import desk

if TYPE_CHECKING:
    from collections.abc import Iterator

STOPPED_CLOCK = ("-m", "tests.walks.at_bus")
"""Window whose clock goes on when it is told to."""
SYSTEM_PYTHON, LAUNCHER = "/usr/bin/python3", "/usr/libexec/at-spi-bus-launcher"
BINDINGS = "import gi; gi.require_version('Atspi', '2.0'); from gi.repository import Atspi"
MUTE_S = 2 * desk.PATIENCE_S
ROOT = Path(__file__).resolve().parents[2]


class Thing(NamedTuple):
    """A thing in the tree as a screen reader is told of it."""

    role: str
    name: str
    description: str
    states: list[str]


def missing() -> str:
    """Return what a walk on the bus needs and this machine has not, in words; empty where all is there."""
    lacks = [desk.missing()] if desk.missing() else []
    lacks += [name for name in ("dbus-daemon", LAUNCHER, SYSTEM_PYTHON) if shutil.which(name) is None]
    if SYSTEM_PYTHON not in lacks:
        tried = subprocess.run([SYSTEM_PYTHON, "-c", BINDINGS], capture_output=True, check=False)
        lacks += [] if tried.returncode == 0 else ["python3-gi with gir1.2-atspi-2.0"]
    return ", ".join(lacks)


class Reader:
    """A screen reader's hand and ear, and the window they are on. `tree` is what was told after the last act."""

    def __init__(self, window: subprocess.Popen[str], hand: subprocess.Popen[str], ear: subprocess.Popen[str]) -> None:
        self._window = window
        self._hand = hand
        self._ear = ear
        self.tree: list[Thing] = []

    def go(self, story: str) -> None:
        """Do what each line says: what is no press is done by the window's own clock."""
        for line in filter(None, map(str.strip, story.splitlines())):
            verb, _, words = line.partition(" ")
            if verb in ("wait", "open"):
                self._say(self._window, line)
                verb, words = "look", ""
            answer = json.loads(self._say(self._hand, json.dumps([verb, words])))
            self.tree = [Thing(*thing) for thing in answer["tree"]]
            assert "missing" not in answer, f"Nothing to press says {words}: {[t.name for t in self.tree]}"

    def named(self, name: str) -> Thing:
        """Return the thing of this name; fails where there is none."""
        found = next((thing for thing in self.tree if thing.name == name), None)
        assert found is not None, [thing.name for thing in self.tree]
        return found

    def announced(self, last: str) -> list[str]:
        """All that was announced since this was last asked, up to what ends so."""
        said: list[str] = []
        while not said or not said[-1].endswith(last):
            kind, words = json.loads(_line(self._ear))
            said += [words] if kind == "announced" else []
        return said

    @staticmethod
    def _say(process: subprocess.Popen[str], line: str) -> str:
        assert process.stdin is not None
        process.stdin.write(line + "\n")
        process.stdin.flush()
        return _line(process)


def _line(process: subprocess.Popen[str]) -> str:
    """Return the next line that a process writes; one that stays mute is ended, and gives none."""
    assert process.stdout is not None
    mute = Timer(MUTE_S, process.kill)
    mute.start()
    try:
        return process.stdout.readline()
    finally:
        mute.cancel()


@contextmanager
def reader(record: Path, place: Path, program: tuple[str, ...] = STOPPED_CLOCK) -> Iterator[Reader]:
    """A screen reader's hand on the window of a record; what it needs beside lies at a place of its own.

    `program` is what opens the window, the record's place behind it.
    """
    place.chmod(0o700)
    with ExitStack() as ends, desk.desk() as display:
        there = os.environ | {"DISPLAY": display, "XDG_RUNTIME_DIR": str(place), "HOME": str(place)}
        bus = _start(ends, ["dbus-daemon", "--session", "--nofork", "--print-address=1"], there)
        assert bus.stdout is not None
        there["DBUS_SESSION_BUS_ADDRESS"] = bus.stdout.readline().strip()
        _start(ends, [LAUNCHER, "--launch-immediately"], there)
        told = there | {"QT_QPA_PLATFORM": "xcb", "QT_LINUX_ACCESSIBILITY_ALWAYS_ON": "1"}
        window = _start(ends, [sys.executable, *program, str(record)], told)
        as_reader = [SYSTEM_PYTHON, "-W", "ignore", str(ROOT / "tests/walks/reader_hand.py")]
        ear, hand = _start(ends, [*as_reader, "listen"], there), _start(ends, as_reader, there)
        yield Reader(window, hand, ear)


def _start(ends: ExitStack, command: list[str], there: dict[str, str]) -> subprocess.Popen[str]:
    process = subprocess.Popen(
        command,
        cwd=ROOT,
        env=there,
        text=True,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    ends.callback(_end, process)
    return process


def _end(process: subprocess.Popen[str]) -> None:
    process.terminate()
    process.communicate()
