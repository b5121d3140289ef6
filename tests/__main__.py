"""python3 -m tests [what pytest takes] [--long] [--speed]: sets .venv up if it must, then runs pytest on all cores."""

from __future__ import annotations

import os
import re
import shutil
import sys
from pathlib import Path

from shopclock import bootstrap

MEMORY = "/dev/shm"  # noqa: S108  # only to be quick
ROOM = 2_000_000_000
MOST = 8
"""Workers: with more of them each waits for the longest file."""
BY_ITSELF = re.compile(
    r"-[vqxl]*s[vqxl]*|--capture=no|--pdb|--trace|--speed|-n\d*|--numprocesses.*|--dist.*"
    r"|-h|--help|-V|--version|--co|--collect-only|--markers|--fixtures|no:xdist"
)
"""What is to be seen as it comes, measured, or spread otherwise needs no workers of ours."""


def main() -> int:
    """Run the checks, without a screen unless QT_QPA_PLATFORM says otherwise; pytest's exit code."""
    bootstrap.enter("tests", sys.argv[1:], extra="dev")
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    keep_bytecode()
    if "--speed" not in sys.argv:
        use_memory()
    import pytest

    top = Path(__file__).resolve().parents[1]
    return pytest.main(["--rootdir", str(top), *side_by_side(sys.argv[1:], usable_cores()), *sys.argv[1:]])


def keep_bytecode() -> None:
    """Have each module compiled once, whatever the environment says: a run starts some hundred processes."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    sys.dont_write_bytecode = False


def use_memory() -> None:
    """Have temporary files in memory where there is room: thousands of presses, each flushed, would test the disk."""
    if "TMPDIR" not in os.environ and os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ROOM:
        os.environ["TMPDIR"] = MEMORY


def side_by_side(arguments: list[str], cores: int) -> list[str]:
    """How pytest is told to use the cores; with nothing to win, or where a person looks on, not at all.

    A file or two are through before the workers of a whole run would have started.
    """
    named = [Path(word.split("::")[0]) for word in arguments if not word.startswith("-")]
    a_few = 0 < sum(path.is_file() for path in named) <= 2 and not any(path.is_dir() for path in named)
    if cores < 2 or a_few or any(BY_ITSELF.fullmatch(word) for word in arguments):
        return []
    return ["-n", str(min(cores, MOST)), "--dist", "worksteal"]


def usable_cores() -> int:
    """Cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


if __name__ == "__main__":
    sys.exit(main())
