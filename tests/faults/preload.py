"""Libraries for LD_PRELOAD, built from the C files beside this; where none can be built the test is skipped."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path

import pytest


@cache
def built(name: str) -> Path:
    """Place of a library, built once a run."""
    compiler = shutil.which("cc") or shutil.which("gcc")
    if compiler is None or sys.platform != "linux":
        pytest.skip("no compiler here, or no LD_PRELOAD")
    library = Path(tempfile.mkdtemp(prefix="shopclock-preload-")) / f"{name}.so"
    source = Path(__file__).with_name(f"{name}.c")
    subprocess.run([compiler, "-O1", "-shared", "-fPIC", "-o", library, source, "-ldl"], check=True)
    return library
