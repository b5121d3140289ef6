"""Walks a story in a window of its own and kills itself right after the last press.

After each press it writes a line: what the record holds and what the window shows, as the maker has seen it by then.
"""

import json
import os
import signal
import sys
from pathlib import Path

from tests.walks.walk import act, at_the_window, kept, lines, shown


def main(record: Path, story: str) -> None:
    with at_the_window(record) as hand:
        for line in lines(story):
            act(hand, line)
            seen = {"at_us": hand.clock.at_us, "kept": kept(hand.record), "shown": shown(hand)}
            sys.stdout.write(json.dumps(seen) + "\n")
            sys.stdout.flush()
        os.kill(os.getpid(), signal.SIGKILL)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.stdin.read())
