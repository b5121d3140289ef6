"""A second start on the same record: it ends at once and the first window comes to the front."""

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest

from tests.walks.walk import new_record

pytestmark = pytest.mark.long
LONGEST_S = 300
TOOLS = ("Xvfb", "xwininfo")


@pytest.fixture
def display() -> Iterator[str]:
    """A screen of its own."""
    if any(shutil.which(tool) is None for tool in TOOLS):
        pytest.skip("there is no Xvfb or xwininfo on this machine")
    reading, writing = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1280x800x24", "-nolisten", "tcp"],
        pass_fds=(writing,),
        stderr=subprocess.DEVNULL,
    )
    os.close(writing)
    with os.fdopen(reading) as told:
        yield f":{told.readline().strip()}"
    server.terminate()
    server.wait(LONGEST_S)


@contextmanager
def started(record: Path, display: str) -> Iterator[subprocess.Popen[bytes]]:
    environment = {name: value for name, value in os.environ.items() if not name.startswith("QT_")}
    command = [sys.executable, "-m", "shopclock", "--record", str(record)]
    environment |= {"DISPLAY": display, "QT_QPA_PLATFORM": "xcb"}
    with subprocess.Popen(command, env=environment, cwd=Path(__file__).resolve().parents[2]) as program:
        try:
            yield program
        finally:
            program.kill()


def windows(display: str) -> list[str]:
    """The program's windows, the one in front first."""
    command = ["xwininfo", "-display", display, "-root", "-tree"]
    told = subprocess.run(command, capture_output=True, text=True, check=False)
    return [line.split()[0] for line in told.stdout.splitlines() if '"Shopclock"' in line and "1280x" in line]


def until(true: Callable[[], object]) -> bool:
    end = time.monotonic() + LONGEST_S
    while not true() and time.monotonic() < end:
        time.sleep(0.1)
    return bool(true())


def test_a_second_start_brings_the_first_window_to_the_front(tmp_path: Path, display: str) -> None:
    first, other = new_record(tmp_path / "first.shopclock"), new_record(tmp_path / "other.shopclock")
    with ExitStack() as stack:
        stack.enter_context(started(first, display))
        assert until(lambda: len(windows(display)) == 1)
        (behind,) = windows(display)
        stack.enter_context(started(other, display))
        assert until(lambda: len(windows(display)) == 2 and windows(display)[1] == behind)
        again = stack.enter_context(started(first, display))
        assert again.wait(LONGEST_S) == 0
        assert until(lambda: windows(display)[0] == behind)
        assert len(windows(display)) == 2
