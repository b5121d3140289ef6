"""Bringing old notes in from the window: looked at in a process of their own, taken by one press."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopclock.exchange.notes.notes_in import UNDO, NotesPreview, here_in, preview
from shopclock.exchange.notes.rows import READING
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import Stopped

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from shopclock.exchange.notes.notes import NotesAnswers
    from shopclock.record.press.record import Record
    from shopclock.screens.long_work.runner import WorkRunner

BUSY = "Other notes are still being worked on. Come back to this file when they are done."


class Bringing:
    """Looks at files of notes and brings them in, one at a time."""

    def __init__(self, record: Record, background: WorkRunner) -> None:
        self.record = record
        self._background = background
        self.busy = False

    def look(
        self, file: Path, said: NotesAnswers, then: Callable[[NotesPreview], None], failed: Callable[[str], None]
    ) -> None:
        """Have a file read and worked out; `failed` gets the sentence that says why it can't be, "" when stopped."""
        if self.busy:
            failed(BUSY)
            return
        self.busy = True

        def done(seen: NotesPreview) -> None:
            self.busy = False
            then(seen)

        def wrong(error: BaseException) -> None:
            self.busy = False
            failed("" if isinstance(error, Stopped) else str(error))

        self._background.run_long(READING, preview, (self.record.path, file, said, here_in(self.record)), done, wrong)

    def take(self, seen: NotesPreview, ended: Callable[[str | None], None]) -> None:
        """Bring in what was worked out; `ended` gets nothing when all is there, else why it isn't."""
        if self.busy or seen.parcel is None:
            return
        try:
            self.record.take(seen.parcel, UNDO)
        except ShopError as error:
            ended(str(error))
        else:
            ended(None)
