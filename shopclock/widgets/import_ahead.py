"""Taking in a library that takes long, on a thread beside the window's, before it is needed."""

from __future__ import annotations

import sys
from contextlib import suppress
from importlib import import_module
from threading import Thread

from PySide6.QtCore import QObject, Qt, Signal


class ImportAhead(QObject):
    """One module, and all that it imports. `there` is emitted on the window's thread once it can be had at once.

    A module that can't be imported is there too: who imports it gets the error.
    """

    there = Signal()
    _done = Signal()

    def __init__(self, module: str, parent: QObject) -> None:
        super().__init__(parent)
        self._module = module
        self._begun = False
        self.is_there = module in sys.modules
        self._done.connect(self._take_note, Qt.ConnectionType.QueuedConnection)

    def begin(self) -> None:
        """Begin, unless it has begun before."""
        if not self._begun and not self.is_there:
            self._begun = True
            Thread(target=self._take_in, daemon=True).start()

    def _take_in(self) -> None:
        with suppress(Exception):
            import_module(self._module)
        with suppress(RuntimeError):  # the window is gone
            self._done.emit()

    def _take_note(self) -> None:
        self.is_there = True
        self.there.emit()
