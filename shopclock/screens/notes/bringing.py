"""Bringing old notes in from the window: looked at in a process of their own, taken in slices, shown by one commit."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from shopclock.exchange.notes.notes_in import TAKING, UNDO, NotesPreview, here_in, preview
from shopclock.exchange.notes.rows import READING
from shopclock.record.press.unpacking import checkpoint, flush
from shopclock.shop.values.errors import ShopError
from shopclock.shop.values.progress import Stopped

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from shopclock.exchange.notes.notes import NotesAnswers
    from shopclock.record.press.record import Record
    from shopclock.record.press.unpacking import Unpacking
    from shopclock.screens.long_work.runner import Watched, WorkRunner

ALL = 1000
"""So many parts the bar is told of: what comes is counted in rows, and those are many."""
BUSY = "Other notes are still being worked on. Come back to this file when they are done."
AGAIN = "The record was changed meanwhile, so the notes were worked out anew. Nothing of them is in it yet."


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
        """Bring in what was worked out; `ended` gets nothing when all is there, else why it isn't, "" when stopped."""
        if self.busy or seen.parcel is None:
            return
        try:
            unpacking = self.record.unpack(seen.parcel)
        except ShopError as error:
            ended(str(error))
            return
        self.busy = True
        taking = _Taking(self.record, unpacking, self._background, partial(self._ended, ended))
        self._background.in_slices(taking.step)

    def _ended(self, ended: Callable[[str | None], None], why: str | None) -> None:
        self.busy = False
        ended(why)


class _Taking:
    """One parcel on its way in: `step` is called as long as it says that there is more."""

    def __init__(
        self, record: Record, unpacking: Unpacking, background: WorkRunner, ended: Callable[[str | None], None]
    ) -> None:
        self._record = record
        self._unpacking = unpacking
        self._background = background
        self._ended = ended
        self._why: str | None = None
        self._bar: Watched = background.watch(TAKING)

    def step(self) -> bool:
        """Take or remove one slice."""
        try:
            if self._bar.cancelled and self._why is None:
                self._stop("")
            more = self._unpacking.step()
            if more and self._why is None:
                self._bar.at(round(ALL * self._unpacking.share), ALL, TAKING)
        except Stopped:
            self._stop("")
            return True
        except ShopError as error:
            return self._failed(error)
        if not more:
            self._all_done()
        return more

    def _failed(self, error: ShopError) -> bool:
        """The disk failed: what was taken is removed; where that fails too, the next start removes it."""
        if self._why is not None:
            self._end()
            return False
        self._stop(str(error))
        return True

    def _stop(self, why: str) -> None:
        self._why = why
        self._unpacking.stop()

    def _all_done(self) -> None:
        if self._why is not None:
            self._end()
            return
        self._background.run(flush, (self._record.path,), lambda _: self._arrive(), lambda _: self._arrive())

    def _arrive(self) -> None:
        """The last commit: it comes at once, the rows are on the disk by now."""
        try:
            why = None if self._record.arrive(self._unpacking, UNDO) else AGAIN
        except ShopError as error:
            why = str(error)
        if why is None:
            self._end()
        else:
            self._stop(why)
            self._background.in_slices(self.step)

    def _end(self) -> None:
        self._bar.end()
        done = lambda _: self._unpacking.rest()  # noqa: E731  # whatever came of it
        self._background.run(checkpoint, (self._record.path,), done, done)
        self._ended(self._why)
