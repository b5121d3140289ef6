"""A window under a real window manager, and a hand that moves the machine's own pointer and keyboard.

The window runs in a process of its own, on a display of its own, with the loop and the workers that the program has.
Run as a module it walks the story on its standard input and writes after each line what is in sight.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from time import monotonic, sleep
from typing import TYPE_CHECKING

from tests.walks.walk import lines

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

NEEDED = ("Xvfb", "openbox", "xdotool")
PATIENCE_S = 90
"""So long is waited for what a story says comes next; a machine with other work takes its time."""


def missing() -> str:
    """Programs that a walk at the desk needs and this machine has not, in words; empty where all are there."""
    return ", ".join(name for name in NEEDED if shutil.which(name) is None)


@contextmanager
def desk(width: int = 1280, height: int = 800) -> Iterator[str]:
    """A display nobody looks at, with a window manager on it; gives its name."""
    read, write = os.pipe()
    screen = ["-screen", "0", f"{width}x{height}x24", "-nolisten", "tcp", "-displayfd", str(write)]
    server = subprocess.Popen(["Xvfb", *screen], pass_fds=[write], stderr=subprocess.DEVNULL)
    manager: subprocess.Popen[bytes] | None = None
    try:
        os.close(write)
        with os.fdopen(read) as told:
            display = f":{told.readline().strip()}"
        there = os.environ | {"DISPLAY": display}
        manager = subprocess.Popen(["openbox"], env=there, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        ask = ["xdotool", "get_num_desktops"]  # nobody answers that before the window manager does
        wait_until(lambda: subprocess.run(ask, env=there, capture_output=True, check=False).returncode == 0)
        yield display
    finally:
        for process in filter(None, (manager, server)):
            process.terminate()
            process.wait()


def wait_until(met: Callable[[], bool]) -> None:
    """Look again and again until it is so."""
    given_up = monotonic() + PATIENCE_S
    while not met():
        assert monotonic() < given_up
        sleep(0.05)


@dataclass(frozen=True)
class Seen:
    """What can be pressed and read in the window after a line of a story."""

    line: str
    reach: list[str]
    read: list[str]


def walk_at_the_desk(display: str, home: Path, story: str, record: Path | None = None) -> list[Seen]:
    """Walk a story in a window on this display, on a record or in the demo shop.

    Fails where it doesn't go on, with what was in sight.
    """
    command = [sys.executable, "-m", "tests.walks.desk", *([str(record)] if record is not None else [])]
    there = {name: value for name, value in os.environ.items() if not name.startswith("XDG_")}
    there |= {"DISPLAY": display, "QT_QPA_PLATFORM": "xcb", "HOME": str(home)}
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run(command, input=story, cwd=root, env=there, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return [Seen(**json.loads(line)) for line in done.stdout.splitlines()]


def main(record: Path | None, story: str) -> None:
    """Walk in this process, and leave as a maker does."""
    from tests.walks.desk_hand import DeskHand

    hand = DeskHand(record, PATIENCE_S)
    try:
        for line in lines(story):
            verb, _, words = line.partition(" ")
            getattr(hand, verb)(words)
            sys.stdout.write(json.dumps({"line": line, "reach": hand.reach, "read": hand.read}) + "\n")
    finally:
        hand.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if sys.argv[1:] else None, sys.stdin.read())
