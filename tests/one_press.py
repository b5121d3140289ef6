"""How much one press of *Next* runs: `python3 -m tests.one_press [--files]` counts our functions and files.

A report, no test: the way of a press should be readable in an evening. The window stands on the demo shop, the work
in hand is stopped, scales are sawn for nine minutes, and *Next* is pressed; lambdas and comprehensions count.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

from shopclock import bootstrap

if TYPE_CHECKING:
    from collections.abc import Callable

PACKAGE = Path(__file__).resolve().parent.parent / "shopclock"
STEP, MINUTES = "Saw scales", 9


def called_in(act: Callable[[], None]) -> set[tuple[str, int]]:
    """Return the file and first line of all our code objects that run while something is done."""
    found: set[tuple[str, int]] = set()

    def seen(frame: Any, event: str, _argument: object) -> None:
        if event == "call":
            found.add((frame.f_code.co_filename, frame.f_code.co_firstlineno))

    sys.setprofile(seen)
    try:
        act()
    finally:
        sys.setprofile(None)
    return {(Path(file).relative_to(PACKAGE).as_posix(), line) for file, line in found if file.startswith(str(PACKAGE))}


def main() -> int:
    """Print the two numbers; with --files how many functions of each file."""
    bootstrap.enter("tests.one_press", sys.argv[1:], extra="dev")
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from shopclock.demo.write import write_demo
    from shopclock.record.read.read_only import ReadOnlyRecord
    from shopclock.tour.window import StoppedClock, Window
    from shopclock.tour.window_hand import WindowHand

    with tempfile.TemporaryDirectory() as name:
        record = Path(name) / "demo.shopclock"
        write_demo(record)
        with ReadOnlyRecord.open(record) as opened:
            newest_us = opened.newest_us
        hand = WindowHand(Path(name), record, Window(1280, 800, 5.94, "dark"), StoppedClock(newest_us + 60_000_000))
        hand.press(STEP)
        hand.clock.go_on(MINUTES)
        found = called_in(lambda: hand.press("Next"))
        hand.close()
    by_file = Counter(file for file, _ in found)
    sys.stdout.write(f"One press of Next: {len(found)} functions in {len(by_file)} files\n")
    if "--files" in sys.argv:
        sys.stdout.writelines(f"{n:4} {file}\n" for file, n in by_file.most_common())
    return 0


if __name__ == "__main__":
    sys.exit(main())
