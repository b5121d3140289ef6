"""Keeping the screen awake while somebody works at it. Where the system has no way to, nothing happens."""

from __future__ import annotations

import os
import subprocess
import sys

_NAME = "shopclock-awake"
_SERVICE = "org.freedesktop.ScreenSaver"
_PLACE = "/org/freedesktop/ScreenSaver"
_WINDOWS_AWAKE = 0x80000000 | 0x1 | 0x2
_WINDOWS_AS_USUAL = 0x80000000


def be_ready() -> None:
    """Take in what the first press of a clock would wait for."""
    if sys.platform.startswith("linux"):
        from PySide6.QtDBus import QDBusConnection

        QDBusConnection.sessionBus()


class Awake:
    """Asks the system to leave the screen on, and lets it go again."""

    def __init__(self) -> None:
        self._on = False
        self._helper: subprocess.Popen[bytes] | None = None

    def set(self, on: bool) -> None:  # one plain switch
        """Leave the screen on, or let it sleep as it likes."""
        if on == self._on:
            return
        self._on = on
        if sys.platform == "win32":
            self._windows(on)
        elif sys.platform == "darwin":
            self._mac(on)
        else:
            self._linux(on)

    def _linux(self, on: bool) -> None:
        """Hold a session of our own on the bus: its end is what the screen saver takes as release."""
        from PySide6.QtDBus import QDBusConnection, QDBusMessage

        if not on:
            QDBusConnection.disconnectFromBus(_NAME)
        elif QDBusConnection.sessionBus().isConnected():
            call = QDBusMessage.createMethodCall(_SERVICE, _PLACE, _SERVICE, "Inhibit")
            call.setArguments(["Shopclock", "work is running"])
            bus = QDBusConnection.connectToBus(QDBusConnection.BusType.SessionBus, _NAME)
            bus.send(call)  # nobody waits for an answer: a screen saver that hangs holds no press up

    def _mac(self, on: bool) -> None:
        if on:
            self._helper = subprocess.Popen(["/usr/bin/caffeinate", "-di", "-w", str(os.getpid())])
        elif self._helper is not None:
            self._helper.terminate()
            self._helper = None

    def _windows(self, on: bool) -> None:
        import ctypes

        state = _WINDOWS_AWAKE if on else _WINDOWS_AS_USUAL
        getattr(ctypes, "windll").kernel32.SetThreadExecutionState(state)  # noqa: B009  # there on Windows alone
