"""A window for a screen reader's test: its clock goes on when it is told to, everything else is the program's own.

Run as a module: `python -m tests.walks.at_bus RECORD`; each line on its standard input is an act of a hand that is no
press ("wait 40", "open bench"), and is answered on its standard output once it is done.
"""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtCore import QSocketNotifier

from shopclock.tour.window import StoppedClock
from shopclock.tour.window_hand import WindowHand, application
from tests.walks.walk import START_US, TABLET


def main(record: Path) -> None:
    """Open the window and do as the lines say, until there are no more."""
    hand = WindowHand(record.parent, record, TABLET, StoppedClock(START_US))

    def heard() -> None:
        line = sys.stdin.readline()
        if not line:
            application().quit()
            return
        verb, _, words = line.strip().partition(" ")
        getattr(hand, verb)(words)
        sys.stdout.write("done\n")
        sys.stdout.flush()

    listening = QSocketNotifier(sys.stdin.fileno(), QSocketNotifier.Type.Read)
    listening.activated.connect(heard)
    application().exec()
    hand.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
