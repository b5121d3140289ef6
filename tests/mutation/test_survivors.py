"""No mutant of the rules of labour and shares survives the tests of its file (`python3 -m tests.mutation`)."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[2]


@pytest.mark.long
@pytest.mark.skipif(not hasattr(os, "fork"), reason="each mutant is tried in a fork, which this system doesn't know")
@pytest.mark.parametrize("name", ["labour", "shares", "derive"])
def test_no_mutant_survives_but_those_proved_equivalent(name: str) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tests.mutation", name], cwd=TOP, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
