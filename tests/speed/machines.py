"""Machines that the window is timed on: this one, and one made as slow as a maker's old laptop.

The slow one is one core of this, two thirds of whose time a busy loop takes (three times slower); a disk that is waited
for 30 ms longer, each fiftieth time 200; and 1 GB of memory, where the kernel lets us bound that. It is built from the
C files in `slow/` when it is asked for, and needs gcc and the right to real-time priority.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

SLOW = Path(__file__).with_name("slow")
CORE = max(os.sched_getaffinity(0))
STRETCH_US, BUSY_US = 1000, 667
SYNC = {"SYNC_MS": "30", "SYNC_LONG_MS": "200"}
MEMORY = Path("/sys/fs/cgroup/memory")
MEMORY_BYTES = 1 << 30


class NoSlowMachineError(Exception):
    """The slow machine can't be made here; why, in a sentence."""


@dataclass(frozen=True)
class Machine:
    """What stands before a command, and in its environment; the group whose memory is bound."""

    name: str
    before: tuple[str, ...] = ()
    environment: dict[str, str] = field(default_factory=dict)
    group: Path | None = None

    def run(self, command: list[str], environment: dict[str, str], folder: Path) -> subprocess.CompletedProcess[str]:
        """Run a command there to its end."""
        whole = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        return subprocess.run(
            [*self.before, *command],
            env=whole | self.environment | environment,
            cwd=folder,
            capture_output=True,
            text=True,
            check=False,
            preexec_fn=self._join,
        )

    def _join(self) -> None:
        """Have the process that is about to run belong to the group."""
        if self.group is not None:
            (self.group / "tasks").write_text(str(os.getpid()), encoding="ascii")


def quiet_machine() -> Machine:
    """This machine as it is; how long it waits for its disk is counted where there is gcc."""
    counted = {"LD_PRELOAD": str(_built("slow_disk"))} if shutil.which("gcc") else {}
    return Machine("quiet", environment=counted)


@contextmanager
def slow_machine() -> Iterator[Machine]:
    """The slow one, while its core is kept busy. NoSlowMachineError where it can't be made."""
    if shutil.which("gcc") is None or shutil.which("taskset") is None:
        raise NoSlowMachineError("The slow machine needs gcc and taskset, and one of them isn't here.")
    loop = [str(_built("busy_core")), str(CORE), str(BUSY_US), str(STRETCH_US)]
    with ExitStack() as left:
        busy = left.enter_context(subprocess.Popen(loop, stdout=subprocess.PIPE, stderr=subprocess.PIPE))
        left.callback(busy.kill)  # before it is waited for
        assert busy.stdout is not None
        if not busy.stdout.readline():
            raise NoSlowMachineError("The slow machine needs the right to real-time priority.")
        before = ("taskset", "-c", str(CORE), "nice", "-n", "-15")
        preload = {"LD_PRELOAD": str(_built("slow_disk"))}
        yield Machine("slow", before, preload | SYNC, left.enter_context(_little_memory()))


@contextmanager
def _little_memory() -> Iterator[Path | None]:
    """A group of processes that have 1 GB together; nothing where the kernel doesn't let us."""
    group = MEMORY / f"shopclock-speed-{os.getpid()}"
    try:
        group.mkdir()
        (group / "memory.limit_in_bytes").write_text(str(MEMORY_BYTES), encoding="ascii")
    except OSError:
        yield None
        return
    try:
        yield group
    finally:
        with suppress(OSError):  # the kernel still has one that has just ended: an empty group costs nothing
            for task in (group / "tasks").read_text(encoding="ascii").split():
                (MEMORY / "tasks").write_text(task, encoding="ascii")
            group.rmdir()


@cache
def _built(name: str) -> Path:
    """A program, or a library to be loaded before others, built from its C file."""
    built = Path(tempfile.mkdtemp(prefix="shopclock-speed-")) / name
    library = ["-shared", "-fPIC"] if name == "slow_disk" else []
    subprocess.run(["gcc", "-O2", "-Wall", *library, "-o", str(built), str(SLOW / f"{name}.c")], check=True)
    return built


@contextmanager
def screen() -> Iterator[dict[str, str]]:
    """The environment of a screen of its own with a window manager; offscreen where the machine has neither."""
    if shutil.which("Xvfb") is None:
        yield {"QT_QPA_PLATFORM": "offscreen"}
        return
    reading, writing = os.pipe()
    server = ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1366x768x24", "-nolisten", "tcp"]
    with ExitStack() as left:
        left.callback(left.enter_context(subprocess.Popen(server, pass_fds=(writing,), stderr=subprocess.DEVNULL)).kill)
        os.close(writing)
        with os.fdopen(reading) as told:
            display = f":{told.readline().strip()}"
        if shutil.which("openbox") is not None:
            manager = subprocess.Popen(["openbox"], env=os.environ | {"DISPLAY": display}, stderr=subprocess.DEVNULL)
            left.callback(left.enter_context(manager).kill)
        yield {"QT_QPA_PLATFORM": "xcb", "DISPLAY": display}
