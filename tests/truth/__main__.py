"""python -m tests.truth [shops]: prints the table of what was tried on simulated shops, 100 of each unless said."""

from __future__ import annotations

import sys

from tests.truth.table import table


def main() -> None:
    """Print line after line as it is measured."""
    shops = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    sys.stdout.write(f"{shops} shops of each kind, three and four times as many for hours and dates\n\n")
    sys.stdout.write("| what was tried | measured, with its error | wanted | |\n|---|---|---|---|\n")
    for one in table(shops):
        sys.stdout.write(one.text() + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
