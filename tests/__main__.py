"""python3 -m tests [what pytest takes] [--long] [--speed]: sets .venv up if it must, then runs pytest."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from shopclock import bootstrap


def main() -> int:
    """Run the checks, without a screen unless QT_QPA_PLATFORM says otherwise; pytest's exit code."""
    bootstrap.enter("tests", sys.argv[1:], extra="dev")
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    import pytest

    return pytest.main(["--rootdir", str(Path(__file__).resolve().parents[1]), *sys.argv[1:]])


if __name__ == "__main__":
    sys.exit(main())
