"""The machine's clocks, read in this one file, and what a press keeps of them."""

import sys
import time
import uuid
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Protocol

US = 1_000_000


@dataclass(frozen=True, slots=True)
class Moment:
    """Moment of all clocks at one press, microseconds: wall, boot time (goes on in sleep), awake time (stops)."""

    wall_us: int
    boot_us: int
    awake_us: int
    boot_id: str
    offset_min: int


class Clock(Protocol):
    """Clock that tells the time; tests bring their own."""

    def moment(self) -> Moment:
        """Read all clocks at once."""


class SystemClock:
    """The clocks of this machine."""

    def __init__(self) -> None:
        self._boot_id = boot_id()

    def moment(self) -> Moment:
        """Read all clocks at once; the offset is that of the system's zone at this instant."""
        wall = time.time_ns() // 1000
        offset = datetime.fromtimestamp(wall / US).astimezone().utcoffset()
        minutes = int(offset.total_seconds()) // 60 if offset else 0
        return Moment(wall, _boot_us(), _awake_us(), self._boot_id, minutes)


def _boot_us() -> int:
    """Read the clock that goes on during sleep, in microseconds."""
    name = {"linux": "CLOCK_BOOTTIME", "darwin": "CLOCK_MONOTONIC"}.get(sys.platform)
    if name is None:
        return time.perf_counter_ns() // 1000
    return time.clock_gettime_ns(getattr(time, name)) // 1000


def _awake_us() -> int:
    """Read the clock that stops during sleep, in microseconds."""
    if sys.platform == "win32":
        import ctypes

        tenths = ctypes.c_ulonglong()
        ctypes.windll.kernel32.QueryUnbiasedInterruptTime(ctypes.byref(tenths))
        return tenths.value // 10
    return time.monotonic_ns() // 1000


@cache
def boot_id() -> str:
    """Name this boot of the machine; a name made up for this run where the system has none."""
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except OSError:
        return str(uuid.uuid4())
