"""Where a benchmark tells its figures: pytest shows it with -s."""

import sys


def say(line: str) -> None:
    """Write a line of the report."""
    sys.stdout.write(f"\n{line}")
