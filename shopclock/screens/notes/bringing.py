"""Bringing old notes in from the window: looked at in a process of their own, taken by one press."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.exchange.notes_in import UNDO, Look, here_in, look
from shopclock.exchange.notes_rows import READING
from shopclock.shop.errors import ShopError
from shopclock.shop.progress import Stopped

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from shopclock.exchange.notes import Said
    from shopclock.record.record import Record
    from shopclock.screens.work import Work

BUSY = "Other notes are still being worked on. Come back to this file when they are done."


class Bringing:
    """Looks at files of notes and brings them in, one at a time."""

    def __init__(self, record: Record, background: Work) -> None:
        self.record = record
        self._background = background
        self.busy = False

    def look(self, file: Path, said: Said, then: Callable[[Look], None], failed: Callable[[str], None]) -> None:
        """Have a file read and worked out; `failed` gets the sentence that says why it can't be, "" when stopped."""
        if self.busy:
            failed(BUSY)
            return
        self.busy = True

        def done(seen: Look) -> None:
            self.busy = False
            then(seen)

        def wrong(error: BaseException) -> None:
            self.busy = False
            failed("" if isinstance(error, Stopped) else str(error))

        self._background.run_long(READING, look, (self.record.path, file, said, here_in(self.record)), done, wrong)

    def take(self, seen: Look, ended: Callable[[str | None], None]) -> None:
        """Bring in what was worked out; `ended` gets nothing when all is there, else why it isn't."""
        if self.busy or seen.parcel is None:
            return
        try:
            self.record.take(seen.parcel, UNDO)
        except ShopError as error:
            ended(str(error))
        else:
            ended(None)
