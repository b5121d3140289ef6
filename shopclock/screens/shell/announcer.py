"""Saying to a screen reader, once, what a press has done, whatever it was pressed by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from shopclock.widgets.accessible import announce

if TYPE_CHECKING:
    from shopclock.record.file.undo import Pressed
    from shopclock.record.press.record import Record
    from shopclock.widgets.frame import Frame


class Announcer(QObject):
    """Announces the words of each new press that can be undone, and of what was undone or put back."""

    def __init__(self, frame: Frame, record: Record) -> None:
        super().__init__(frame)
        self._frame = frame
        self._record = record
        self._undo, self._back = record.next_undo, record.next_put_back
        record.on_change(self._changed)

    def _changed(self) -> None:
        undo, back = self._record.next_undo, self._record.next_put_back
        said = news((self._undo, self._back), (undo, back))
        self._undo, self._back = undo, back
        announce(self._frame, said)


def news(before: tuple[Pressed | None, Pressed | None], now: tuple[Pressed | None, Pressed | None]) -> str:
    """Say what has been pressed, given what Undo and Put back would do before and now; nothing where neither moved."""
    (undo_before, back_before), (undo, back) = before, now
    if undo == undo_before and back == back_before:
        return ""
    if back is not None and back != back_before and back == undo_before:
        return f"Undone: {back.what}"
    if undo is not None and undo == back_before:
        return f"Put back: {undo.what}"
    return undo.what if undo is not None and undo != undo_before else ""
