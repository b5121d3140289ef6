"""The window as it is started, in which bevels are started as soon as the record is open."""

import sys

from shopclock import app
from shopclock.record.press.watch import Watch
from tests.faults import bevels


def main(record: str) -> int:
    start = Watch.start

    def at_work(watch: Watch) -> None:
        bevels.start(watch._record)
        start(watch)

    Watch.start = at_work
    return app.main(["--record", record])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
