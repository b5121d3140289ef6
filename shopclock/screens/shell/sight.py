"""Seeing whether anybody can see the window: nothing needs to be drawn while it is minimised, or others cover it."""

from __future__ import annotations

import ctypes
import sys
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QEvent, QObject, QSocketNotifier, Signal
from PySide6.QtGui import QGuiApplication

if TYPE_CHECKING:
    from PySide6.QtGui import QWindow
    from PySide6.QtWidgets import QWidget

EVENT_MASK, VISIBILITY_CHANGE = 1 << 11, 1 << 16
"""What is set of a window (XCB_CW_EVENT_MASK), and to what; X11/xproto.h."""
VISIBILITY_NOTIFY, STATE_AT, FULLY_COVERED = 15, 8, 2
"""The event of that name, where its state stands in it, and what that is of a window nothing of which can be seen."""


class Sight(QObject):
    """Tells whether a window is in sight; `changed` says so when it comes into sight or goes out of it."""

    changed = Signal(bool)

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        self._handle: QWindow | None = None
        self._covered: CoveredOnX11 | None = None
        self._was_exposed = False
        self._seen = True

    @property
    def seen(self) -> bool:
        """True as far as is known: a system that doesn't tell has its window drawn."""
        return self._seen

    def watch(self) -> None:
        """Begin to watch the window, which is shown."""
        self._handle = self._window.windowHandle()
        for watched in filter(None, (self._window, self._handle)):
            watched.installEventFilter(self)
        if sys.platform.startswith("linux") and QGuiApplication.platformName() == "xcb":
            self._covered = CoveredOnX11(int(self._window.winId()), self)
            self._covered.changed.connect(self._look)

    def stop(self) -> None:
        """Watch it no longer."""
        if self._covered is not None:
            self._covered.stop()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        """Look again when the window's state has changed, or the system says what of it is to be drawn."""
        if event.type() in (QEvent.Type.WindowStateChange, QEvent.Type.Expose):
            self._look()
        return False

    def _look(self) -> None:
        exposed = self._handle is not None and self._handle.isExposed()
        self._was_exposed = self._was_exposed or exposed
        covered = self._covered is not None and self._covered.covered
        seen = (exposed or not self._was_exposed) and not covered and not self._window.isMinimized()
        if seen != self._seen:
            self._seen = seen
            self.changed.emit(seen)


class CoveredOnX11(QObject):
    """Hears from the X server when other windows cover one of ours, over a line of its own; Qt doesn't ask.

    Under a window manager that composes windows each of them counts as seen.
    """

    changed = Signal()

    def __init__(self, window: int, parent: QObject) -> None:
        super().__init__(parent)
        self.covered = False
        self._xcb: Any = None
        try:
            xcb, self._free = ctypes.CDLL("libxcb.so.1"), ctypes.CDLL(None).free
        except (OSError, AttributeError):
            return
        self._free.argtypes = [ctypes.c_void_p]
        xcb.xcb_connect.restype = xcb.xcb_poll_for_event.restype = ctypes.c_void_p
        self._line = ctypes.c_void_p(xcb.xcb_connect(None, None))
        if xcb.xcb_connection_has_error(self._line):
            return
        self._xcb = xcb
        mask = ctypes.c_uint32(VISIBILITY_CHANGE)
        xcb.xcb_change_window_attributes(self._line, ctypes.c_uint32(window), EVENT_MASK, ctypes.byref(mask))
        xcb.xcb_flush(self._line)
        self._notifier = QSocketNotifier(xcb.xcb_get_file_descriptor(self._line), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._read)

    def stop(self) -> None:
        """Hang up."""
        if self._xcb is not None:
            self._notifier.setEnabled(False)
            self._xcb.xcb_disconnect(self._line)
            self._xcb = None

    def _read(self) -> None:
        before = self.covered
        while event := self._xcb.xcb_poll_for_event(self._line):
            told = ctypes.string_at(event, 32)
            self._free(event)
            if told[0] & 0x7F == VISIBILITY_NOTIFY:
                self.covered = told[STATE_AT] == FULLY_COVERED
        if self._xcb.xcb_connection_has_error(self._line):  # the server has gone: nothing more will be heard
            self.stop()
            self.covered = False
        if self.covered != before:
            self.changed.emit()
