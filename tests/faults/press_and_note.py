"""A new record, and presses in it, each noted for the recorder of the disk once it is kept."""

import ctypes
import sys
from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Stage
from shopclock.shop.work import begin


def main(path: Path, presses: int) -> None:
    note = ctypes.CDLL(None).disk_note
    record = Record.open(path, SystemClock(), make=True)
    note(b"open")
    work = [stage for stage in record.floor.all(Stage) if stage.shop_work]
    for n in range(presses):
        begun, _ = record.press("Work", lambda tx, at=n: begin.begin_shop_work(tx, work[at % len(work)]))
        note(begun.uuid.encode())
        if n % 4 == 3:
            record.rest()
    record.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
