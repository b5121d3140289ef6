"""A window without a window: the record open, the watch ticking, until killed. Says each question it puts.

With "begin" it starts bevels first. A signal USR1 is answered by a line, after a whole tick.
"""

import signal
import sys
import time
from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.record.press.watch import Watch
from shopclock.shop.recovery import questions
from shopclock.shop.values.clock import SystemClock
from tests.faults import bevels

TICK_S = 0.05
TICKED = "ticked"


def main(path: Path, begin: str = "") -> None:
    record = Record.open(path, SystemClock())
    if begin:
        bevels.start(record)
    watch = Watch(record)
    watch.start()
    told: set[int] = set()
    asked: list[int] = []
    signal.signal(signal.SIGUSR1, lambda number, _: asked.append(number))
    _say("open")
    while True:
        answers = len(asked)
        watch.tick()
        for question in questions.open_questions(record.floor):
            if question.id not in told:
                told.add(question.id)
                _say(f"{question.why} {question.shift_us}")
        for _ in range(answers):
            asked.pop()
            _say(TICKED)
        time.sleep(TICK_S)


def _say(words: str) -> None:
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]), *sys.argv[2:])
