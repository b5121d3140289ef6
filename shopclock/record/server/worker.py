"""Worker beside the window: it exchanges with the server, and waits longer and longer while that is away.

Over the line it gives ("presses", some), to be answered by whether any came in or why not, and ("standing", how it
is); it hears "pressed", LOOK, and None to go. No press of the window ever waits for it.
"""

from __future__ import annotations

from contextlib import suppress
from multiprocessing.connection import wait
from typing import TYPE_CHECKING, Any

from shopclock.record.server.exchange import Exchange, Who
from shopclock.record.server.sentences import ServerAway
from shopclock.shop.values.clock import SystemClock
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from pathlib import Path

    from shopclock.record.joining.presses import TravellingPress

POLL_S = 30.0
"""Under the wake-up that the server gives there is a slow look."""
FIRST_S, LONGEST_S = 1.0, 60.0
LOOK = "look"
"""Somebody looks how the exchange stands: the server is tried again at once."""


class _Gone(Exception):
    """The window wants no more."""


def serve(line: Connection, path: Path, where: str, who: Who) -> None:
    """Exchange until the window says so, or is gone."""
    with suppress(_Gone, EOFError, OSError, KeyboardInterrupt):
        _Loop(line, path, where, who).run()


class _Loop:
    def __init__(self, line: Connection, path: Path, where: str, who: Who) -> None:
        self._line = line
        self._exchange = Exchange(path, where, who, self._give)

    def run(self) -> None:
        pause_s = FIRST_S
        try:
            while True:
                try:
                    heard = self._exchange.open()
                    while True:
                        self._say("standing", self._exchange.once())
                        pause_s = FIRST_S
                        self._exchange.publish()
                        self._wait(POLL_S, heard)
                except ShopError as error:
                    if isinstance(error, ServerAway):
                        self._exchange.close()
                    self._say("standing", self._exchange.standing_away(error))
                self._rest(pause_s)
                pause_s = min(2 * pause_s, LONGEST_S)
        except _Gone:
            with suppress(ShopError):
                self._exchange.send_rest()
            raise
        finally:
            self._exchange.close()

    def _say(self, what: str, more: Any) -> None:
        self._line.send((what, more))

    def _give(self, presses: list[TravellingPress]) -> bool:
        """Have the window take presses, and wait until it has."""
        self._say("presses", presses)
        while True:
            heard = self._hear()
            if isinstance(heard, tuple):
                came, why = heard
                if why:
                    raise ShopError(why)
                return bool(came)

    def _hear(self) -> Any:
        heard = self._line.recv()
        if heard is None:
            raise _Gone
        return heard

    def _wait(self, seconds: float, server: Any) -> None:
        """Wait until somebody has pressed, here or elsewhere, or for so long; not where somebody did meanwhile."""
        if self._exchange.server.was_woken():
            return
        ready = wait([self._line, server.fileno()], seconds)
        if server.fileno() in ready:
            server.pgconn.consume_input()
            while server.pgconn.notifies() is not None:
                pass
        while self._line.poll():
            self._hear()

    def _rest(self, seconds: float) -> None:
        """Rest for so long, or until somebody looks: presses meanwhile wait in the record."""
        clock = SystemClock()
        until_us = clock.moment().boot_us + round(seconds * 1e6)
        while (left_us := until_us - clock.moment().boot_us) > 0:
            if self._line.poll(left_us / 1e6) and self._hear() == LOOK:
                return
