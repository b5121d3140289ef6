"""Doing what can wait in the pauses between presses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, QTimer

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.press.record import Record

QUIET_MS = 20_000
"""A pause, in which nobody is about to press: long beside one between two letters, short beside work on a blade."""


class Rest(QObject):
    """Calls `then` once in each pause after presses: when there was none for a while."""

    def __init__(self, record: Record, then: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setTimerType(Qt.TimerType.VeryCoarseTimer)
        self._timer.setInterval(QUIET_MS)
        self._timer.timeout.connect(then)
        record.on_change(self._timer.start)

    def stop(self) -> None:
        """Do nothing any more."""
        self._timer.stop()
