"""One window a record: a second start brings the first to the front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCryptographicHash, QLockFile, QObject, QSysInfo, Signal

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtNetwork import QLocalServer, QLocalSocket

HEARD = b"heard\n"


class OneWindow(QObject):
    """Holds the lock that lies beside a record; `wanted` says that somebody started the program again.

    The lock decides who may write. The socket only carries the wish to see the window, and back that it was heard.
    """

    wanted = Signal()

    def __init__(self, record: Path) -> None:
        super().__init__()
        resolved = str(record.absolute())
        self._lock = QLockFile(f"{resolved}.lock")
        self._lock.setStaleLockTime(0)
        digest = QCryptographicHash.hash(resolved.encode(), QCryptographicHash.Algorithm.Sha256)
        self._name = f"shopclock-{bytes(digest.toHex().data()).decode()[:16]}"
        self._server: QLocalServer | None = None
        self._asking: QLocalSocket | None = None
        self.taken = False

    def take(self) -> bool:
        """Take the record for this window; False while another program has it.

        A folder that refuses a lock is no other program: what is wrong there is told when the record is opened.
        """
        self.taken = self._lock.tryLock(0) or self._lock.error() != QLockFile.LockError.LockFailedError
        return self.taken

    def other_machine(self) -> str:
        """Name the machine on which the program runs that has the record; empty for this one."""
        _, host, _ = self._lock.getLockInfo()
        return "" if host == QSysInfo.machineHostName() else host

    def listen(self) -> None:
        """Hear from now on when the program is started again on this record."""
        if self._server is not None:
            return
        from PySide6.QtNetwork import QLocalServer

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
        self._lock.unlock()

    def _answer(self) -> None:
        if self._server is not None:
            connection = self._server.nextPendingConnection()
            connection.disconnected.connect(connection.deleteLater)
            connection.write(HEARD)
            connection.disconnectFromServer()
            self.wanted.emit()
