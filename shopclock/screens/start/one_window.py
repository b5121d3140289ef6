"""One window a record: a second start brings the first to the front."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCryptographicHash, QLockFile, QObject, Signal

if TYPE_CHECKING:
    from pathlib import Path

    from PySide6.QtNetwork import QLocalServer

ANSWER_MS = 500
RAISE = b"raise\n"


class OneWindow(QObject):
    """Holds the lock that lies beside a record; `wanted` says that somebody started the program again.

    The lock decides who may write. The socket only carries the wish to see the window.
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

    def take(self) -> bool:
        """Take the record for this window; False when another program has it."""
        return self._lock.tryLock(0)

    def listen(self) -> None:
        """Hear from now on when the program is started again on this record."""
        from PySide6.QtNetwork import QLocalServer

        QLocalServer.removeServer(self._name)
        server = QLocalServer(self)
        server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        server.newConnection.connect(self._answer)
        server.listen(self._name)
        self._server = server

    def held_elsewhere(self) -> bool:
        """Tell whether another program has the lock, and not the folder refuses one."""
        return self._lock.error() == QLockFile.LockError.LockFailedError

    def raise_other(self) -> bool:
        """Bring the window to the front that has the record; False when nobody answers."""
        from PySide6.QtNetwork import QLocalSocket

        socket = QLocalSocket()
        socket.connectToServer(self._name)
        if not socket.waitForConnected(ANSWER_MS):
            return False
        socket.write(RAISE)
        sent = bool(socket.waitForBytesWritten(ANSWER_MS))
        socket.disconnectFromServer()
        return sent

    def release(self) -> None:
        """Let the record go."""
        if self._server is not None:
            self._server.close()
        self._lock.unlock()

    def _answer(self) -> None:
        if self._server is not None:
            connection = self._server.nextPendingConnection()
            connection.disconnected.connect(connection.deleteLater)
            self.wanted.emit()
