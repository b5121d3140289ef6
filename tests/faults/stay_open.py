"""A window without a window: the record open, the watch ticking, until killed. Says each question it puts."""

import sys
import time
from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.record.press.watch import Watch
from shopclock.shop.recovery import questions
from shopclock.shop.values.clock import SystemClock

TICK_S = 0.05


def main(path: Path) -> None:
    record = Record.open(path, SystemClock())
    watch = Watch(record)
    watch.start()
    told: set[int] = set()
    _say("open")
    while True:
        watch.tick()
        for question in questions.open_questions(record.floor):
            if question.id not in told:
                told.add(question.id)
                _say(f"{question.why} {question.shift_us}")
        time.sleep(TICK_S)


def _say(words: str) -> None:
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
