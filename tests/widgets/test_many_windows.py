"""Windows with a chart go one after the other, also while a screen reader listens, and the process lives on."""

from __future__ import annotations

import subprocess
import sys


def test_windows_that_were_told_of_are_destroyed_and_the_process_lives() -> None:
    command = [sys.executable, "-m", "tests.widgets.many_windows"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)
    assert (done.returncode, done.stdout) == (0, "True 0\n"), done.stderr
