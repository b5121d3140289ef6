"""Exchange with the server a few presses at a time, telling each step once it is done, until it is done or killed."""

import sys
from pathlib import Path
from typing import Any

from shopclock.record.press.record import Record
from shopclock.record.server import exchange, joining_in
from shopclock.record.server.server import Server
from shopclock.shop.values.clock import SystemClock

FEW = 3


def main(path: Path, where: str) -> None:
    exchange.AT_ONCE = exchange.SENT_AT_ONCE = FEW
    send, give = Server.send, joining_in.give_to

    def sent(server: Server, presses: Any) -> None:
        send(server, presses)
        told("sent")

    def taken(record: Record, presses: Any) -> bool:
        came = give(record, presses)
        told("taken")
        return came

    Server.send = sent  # type: ignore[method-assign]  # it tells
    joining_in.give_to = taken
    joining_in.exchange(Record.open(path, SystemClock()), where)


def told(step: str) -> None:
    sys.stdout.write(f"{step}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2])
