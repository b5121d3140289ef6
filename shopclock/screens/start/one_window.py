"""One window a record: a second start brings the first to the front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from shopclock.record.file.lock import RecordLock

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtNetwork import QLocalServer, QLocalSocket

    from shopclock.record.file.lock import Holder

HEARD = b"heard\n"


class OneWindow(QObject):
    """Holds the lock of a record; `wanted` says that somebody started the program again.

    The lock decides who may write; `holder` is who has it otherwise. The socket only carries the wish to see the
    window, and back that it was heard.
    """

    wanted = Signal()

    def __init__(self, record: Path) -> None:
        super().__init__()
        self.record = record
        self._lock = RecordLock(record)
        self._server: QLocalServer | None = None
        self._asking: QLocalSocket | None = None
        self.holder: Holder | None = None

    @property
    def taken(self) -> bool:
        """True once the record is this window's."""
        return self._lock.taken

    def take(self, *, over: bool = False) -> bool:
        """Take the record for this window; False while another program has it. See RecordLock."""
        self.holder = self._lock.take(over=over)
        return self.taken

    def listen(self) -> None:
        """Hear from now on when the program is started again on this record; hold its file, a new one too."""
        self._lock.follow()
        if self._server is not None and self._server.serverName() == self._name:
            return
        from PySide6.QtNetwork import QLocalServer

        if self._server is not None:
            self._server.close()
        QLocalServer.removeServer(self._name)
        server = QLocalServer(self)
        server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        server.newConnection.connect(self._answer)
        server.listen(self._name)
        self._server = server

    def raise_other(self, within_ms: int) -> bool:
        """Ask the window that has the record to come to the front; True once it has heard.

        A busy one hears when it gets to it: called again, this waits on for the answer to what was asked before.
        """
        from PySide6.QtNetwork import QLocalSocket

        if self._asking is None:
            self._asking = QLocalSocket(self)
        socket = self._asking
        if socket.bytesAvailable():
            return True
        if socket.state() == QLocalSocket.LocalSocketState.UnconnectedState:
            socket.connectToServer(self._name)
        return socket.waitForConnected(within_ms) and socket.waitForReadyRead(within_ms)

    def release(self) -> None:
        """Let the record go."""
        if self._server is not None:
            self._server.close()
        self._lock.release()

    @property
    def _name(self) -> str:
        return f"shopclock-{self._lock.name[:16]}"

    def _answer(self) -> None:
        if self._server is not None:
            connection = self._server.nextPendingConnection()
            connection.disconnected.connect(connection.deleteLater)
            connection.write(HEARD)
            connection.disconnectFromServer()
            self.wanted.emit()
