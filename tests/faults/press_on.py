"""Press until killed, telling each press only when it is kept: what a screen would have shown."""

import sys
from pathlib import Path

from shopclock.record.press.record import Record
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.entities import Stage
from shopclock.shop.work import begin


def main(path: Path) -> None:
    record = Record.open(path, SystemClock())
    work = [stage for stage in record.floor.all(Stage) if stage.shop_work]
    n = 0
    while True:
        stage = work[n % len(work)]
        begun, _ = record.press("Shop work", lambda tx: begin.begin_shop_work(tx, stage))  # noqa: B023 - called at once
        sys.stdout.write(f"{begun.uuid}\n")
        sys.stdout.flush()
        n += 1


if __name__ == "__main__":
    main(Path(sys.argv[1]))
