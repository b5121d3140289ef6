"""Stories walked in the real window: what is pressed, in the words of the buttons, and how long is worked between."""

import hashlib
import json
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.shop.values.entities import ENTITIES
from shopclock.tour.window import StoppedClock, Window
from shopclock.tour.window_hand import WindowHand

START_US = 1_792_690_200_000_000
"""Thursday 22 October 2026, 18:30 in Dublin's summer time; on the Sunday the clocks go back."""
ZONE = "Europe/Dublin"
TABLET = Window(1280, 800, 5.94, "dark")
MUGS = """
open shop
press Patterns
press Copy a route
press Mugs
type Tide mug
press New batch
press 4
press Go
press Whole route
press Throw
"""
"""A potter's first evening, up to the clock that runs."""


def new_record(path: Path) -> Path:
    """An empty shop."""
    Record.open(path, StoppedClock(START_US), make=True, zone=ZONE).close()
    return path


@contextmanager
def at_the_window(
    record: Path, at_us: int = START_US, bounce_ms: int = 0, boot_id: str = "tour"
) -> Iterator[WindowHand]:
    """A window on a record, closed again at the end."""
    hand = WindowHand(record.parent, record, TABLET, StoppedClock(at_us, boot_id), bounce_ms=bounce_ms)
    try:
        yield hand
    finally:
        hand.close()


def walk(hand: WindowHand, story: str) -> None:
    """Do what each line of a story says: "press Stop", "work 20" minutes, "type Creek paring"."""
    for line in lines(story):
        act(hand, line)


def lines(story: str) -> list[str]:
    return [line for line in map(str.strip, story.splitlines()) if line]


def act(hand: WindowHand, line: str) -> None:
    verb, _, words = line.partition(" ")
    getattr(hand, verb)(words)


def shown(hand: WindowHand) -> list[str]:
    """What can be pressed and read in the window now."""
    hand.see()
    return [*hand.reach, *hand.read]


def kept(record: Record) -> str:
    """All that a record holds, as one number: equal for two records that hold the same."""
    floor = record.floor
    held: list[object] = [sorted(map(repr, floor.all(kind))) for kind in ENTITIES]
    held += [sorted(floor.labour.items()), sorted(floor.shares.items()), record.next_undo]
    return hashlib.sha256(repr(held).encode()).hexdigest()


@dataclass(frozen=True)
class Killed:
    """What the maker saw last before the program was killed."""

    at_us: int
    kept: str
    shown: list[str]


def walk_and_be_killed(record: Path, story: str) -> Killed:
    """Walk a story in another process that is killed after its last press."""
    command = [sys.executable, "-m", "tests.walks.killed", str(record)]
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run(command, input=story, cwd=root, capture_output=True, text=True, check=False)
    assert done.returncode == -signal.SIGKILL, done.stderr
    seen = done.stdout.splitlines()
    assert len(seen) == len(lines(story))
    return Killed(**json.loads(seen[-1]))
