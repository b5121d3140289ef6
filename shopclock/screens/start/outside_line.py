"""Line on which a window hears presses from outside: a socket of its own, in a folder that its owner alone may enter.

A press is a line of JSON, and so is its answer. The record's lock decides who writes; the line only carries presses.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject
from PySide6.QtNetwork import QLocalServer, QLocalSocket

from shopclock.record.file.identity import identity_of
from shopclock.record.file.lock import RecordLock
from shopclock.record.file.on_disk import make_folder
from shopclock.record.file.place import state_folder
from shopclock.screens.bench.outside import PRESSES, OutsidePress, Told, press_outside

if TYPE_CHECKING:
    from pathlib import Path

    from shopclock.record.file.identity import Identity
    from shopclock.screens.bench.at_bench import AtBench

LONGEST = 4096
"""Bytes of a press; more is none."""
MOST_PATH = 100
"""Letters that the path of a socket may have on every system."""
ANSWER_MS = 10_000
NO_ANSWER = "The window did not answer within {seconds} s: it is busy. Whether the press was taken is seen there."
NOT_OURS = "What came was no press. Nothing was changed."


def line_name(record: Path) -> str:
    """Return the name of a record's line: a path in the user's own folder; on Windows, and where it is long, a name."""
    name = f"shopclock-press-{RecordLock(record).name[:16]}"
    place = str(state_folder() / name)
    return place if os.name != "nt" and len(os.fsencode(place)) <= MOST_PATH else name


class OutsideLine(QObject):
    """The window's end of the line. `listen` again follows a record whose file became another."""

    def __init__(self, record: Path, bench: AtBench, parent: QObject) -> None:
        super().__init__(parent)
        self._record = record
        self._bench = bench
        self._server: QLocalServer | None = None
        self._name = ""
        self._identity: Identity | None = None

    def listen(self) -> None:
        """Hear presses from now on, under the name that the record has now."""
        before = self._identity
        with suppress(OSError):  # a disk that doesn't answer now says nothing new
            self._identity = identity_of(self._record)
        if before is not None and self._identity == before:
            return
        name = line_name(self._record)
        if name == self._name:
            return
        self.close()
        with suppress(OSError):  # then it can't listen there either, and nothing is heard
            make_folder(state_folder())
        QLocalServer.removeServer(name)
        server = QLocalServer(self)
        server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        server.newConnection.connect(self._meet)
        server.listen(name)
        self._server, self._name = server, name

    def close(self) -> None:
        """Hear nothing more."""
        if self._server is not None:
            self._server.close()
            self._server.deleteLater()
        self._server, self._name = None, ""

    def _meet(self) -> None:
        if self._server is None:
            return
        connection = self._server.nextPendingConnection()
        connection.disconnected.connect(connection.deleteLater)
        connection.readyRead.connect(lambda: self._hear(connection))
        self._hear(connection)  # it may have come at once

    def _hear(self, connection: QLocalSocket) -> None:
        if not connection.canReadLine():
            if connection.bytesAvailable() > LONGEST:
                connection.abort()
            return
        asked = read_press(bytes(connection.readLine(LONGEST).data()))
        told = press_outside(self._bench, asked) if asked is not None else Told(done=False, said=NOT_OURS)
        connection.write(json.dumps(asdict(told)).encode() + b"\n")
        connection.disconnectFromServer()


def read_press(line: bytes) -> OutsidePress | None:
    """Return the press that a line of JSON asks for; nothing where it asks for none."""
    try:
        said: Any = json.loads(line)
        asked = OutsidePress(**said)
    except (ValueError, TypeError, RecursionError):
        return None
    said_texts = (asked.do, asked.about, asked.batch, asked.maker)
    sound = all(isinstance(text, str) for text in said_texts) and isinstance(asked.yes, bool)
    return asked if sound and asked.do in PRESSES else None


def send_press(record: Path, asked: OutsidePress, answer_ms: int = ANSWER_MS) -> Told | None:
    """Send a press to the window that has a record open, and wait for what came of it; nothing where there is none."""
    socket = QLocalSocket()
    socket.connectToServer(line_name(record))
    if not socket.waitForConnected(answer_ms):
        return None
    socket.write(json.dumps(asdict(asked)).encode() + b"\n")
    socket.waitForBytesWritten(answer_ms)
    while not socket.canReadLine():
        if not socket.waitForReadyRead(answer_ms):
            return Told(done=False, said=NO_ANSWER.format(seconds=answer_ms // 1000))
    return Told(**json.loads(bytes(socket.readLine().data())))
