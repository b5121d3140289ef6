"""Exchange with the shop's server from the window: a worker beside it, whose presses are taken between one's own."""

from __future__ import annotations

from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, QTimer, Signal

from shopclock.record.server import worker
from shopclock.record.server.exchange import Standing
from shopclock.record.server.joining_in import give_to, who
from shopclock.screens.long_work.priority import stand_back
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Callable
    from multiprocessing.connection import Connection

    from shopclock.record.press.record import Record


AGAIN_MS = 5_000
"""A worker that has died is started anew after so long."""
GOING = "Going to the server."
NOT_LEVEL = "The benches are not level: look at Shop, In and out, Benches."
GONE = "gone"


class Exchanging(QObject):
    """Keeps a record level with the server; `standing` says how it is, `changed` is called when that is another.

    `tell` is given what somebody has to see to, or nothing: a server that is away comes back by itself.
    """

    _said = Signal(object)

    def __init__(self, record: Record, where: str, parent: QObject, tell: Callable[[str], object]) -> None:
        super().__init__(parent)
        self.standing = Standing(GOING, away=True)
        self.changed: Callable[[], object] = lambda: None
        self._told = tell
        self.record = record
        self.where = where
        self._line: Connection | None = None
        self._woken = False
        self._said.connect(self._hear, Qt.ConnectionType.QueuedConnection)
        self._again = QTimer(self, singleShot=True, interval=AGAIN_MS)
        self._again.timeout.connect(self.start)
        record.on_change(self._pressed)

    @property
    def waiting(self) -> int:
        """Number of own presses that the server has not got, as far as is known."""
        return max(0, self.record.sequence - self.standing.sent)

    def start(self) -> None:
        """Start the worker, which gives way to the window."""
        from multiprocessing import get_context

        context = get_context("spawn")
        self._line, far = context.Pipe()
        arguments = (far, self.record.path, self.where, who(self.record))
        self._process = context.Process(target=worker.serve, args=arguments, daemon=True)
        self._process.start()
        if self._process.pid is not None:
            stand_back(self._process.pid)
        far.close()
        Thread(target=_listen, args=(self._line, self._said.emit), daemon=True).start()

    def stop(self) -> None:
        """Let the worker go; what isn't sent yet is sent next time."""
        self._again.stop()
        line, self._line = self._line, None
        if line is not None:
            with suppress(OSError):
                line.send(None)
            self._process.join(2)
            with suppress(ValueError):
                self._process.terminate()
            self._process.join()

    def look(self) -> None:
        """Have a server that is away tried again at once."""
        if self.standing.away:
            self._tell(worker.LOOK)

    def _pressed(self) -> None:
        """Wake the worker: something was pressed.

        It is woken once until it says how it is: where the server hangs nobody reads the line, and a full one would
        hold the window up.
        """
        if not self._woken:
            self._woken = True
            self._tell("pressed")

    def _tell(self, what: Any) -> None:
        if self._line is not None:
            with suppress(OSError):
                self._line.send(what)

    def _hear(self, said: tuple[str, Any]) -> None:
        what, more = said
        if self._line is None:
            return
        if what == "presses":
            self._take(more)
        elif what == GONE:
            self._line, self._woken = None, False
            self.standing = Standing(GOING, True, self.standing.benches, self.standing.sent)
            self._again.start()
            self.changed()
        else:
            sent = more.sent or self.standing.sent
            self.standing = Standing(
                more.sentence, more.away, more.benches or self.standing.benches, sent, more.to_take
            )
            self._told(("" if more.passes else NOT_LEVEL) if more.away else more.sentence)
            self._woken = False
            if self.waiting and not more.away:  # pressed meanwhile: whoever is away looks again by itself
                self._pressed()
            self.changed()

    def _take(self, presses: Any) -> None:
        try:
            self._tell((give_to(self.record, presses), ""))
        except ShopError as error:
            self._tell((False, str(error)))


def _listen(line: Connection, heard: Callable[[Any], None]) -> None:
    """Hand on what the worker says, on a thread of its own that does nothing else."""
    with suppress(RuntimeError):  # the window is gone
        try:
            while True:
                heard(line.recv())
        except (EOFError, OSError):
            heard((GONE, None))
