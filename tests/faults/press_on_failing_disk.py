"""Presses on a disk that fails from a call on: what each was told as, line by line; killed at the end.

    python -m tests.faults.press_on_failing_disk RECORD FROM HOW_MANY KINDS [NEW PLACE]

With a new place all is written there at the end. The libraries of `disk_that_fails.c` is preloaded.
"""

import ctypes
import os
import signal
import sys
from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.record.rescue.rescue import rescue
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Stage
from shopclock.shop.values.errors import ShopError
from shopclock.shop.work import begin


def main(path: Path, first: int, many: int, kinds: int, place: str = "") -> None:
    disk = ctypes.CDLL(None)
    record = Record.open(path, SystemClock())
    stage = next(stage for stage in record.floor.all(Stage) if stage.shop_work)
    for n in range(6):
        if n == 2:
            disk.disk_fails(first, many, 5, kinds)
        try:
            begun, _ = record.press(f"Work {n}", lambda tx: begin.begin_shop_work(tx, stage))
            _say(f"kept {begun.uuid}")
        except ShopError as error:
            _say(f"told {n} {error}")
    _say(f"failures {disk.disk_failures()}")
    record.file.look()
    _say(f"trouble {record.file.trouble.why if record.file.trouble is not None else 'none'}")
    _say(f"after {record.file.told}")
    if place:
        try:
            _say(f"missing {rescue(record, Path(place)).missing}")
        except ShopError as error:
            _say(f"refused {error}")
    os.kill(os.getpid(), signal.SIGKILL)


def _say(words: str) -> None:
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]), *map(int, sys.argv[2:5]), *sys.argv[5:])
