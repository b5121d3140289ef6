"""Copies of the record while its window is open: at least once a day of use, when asked for, and bringing one back."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from shopclock.record.copies.archive import ARCHIVING, ArchiveFile, archive_beside, archive_for_others, archives_in
from shopclock.record.copies.copying import COPYING, CopyMade
from shopclock.record.copies.daily import keep_copy, keep_copy_if_due
from shopclock.record.copies.restoring import Lost, lost
from shopclock.record.copies.unarchive import UNARCHIVING, unarchive
from shopclock.record.file import copy_files
from shopclock.record.file.error_text import Damaged
from shopclock.shop.values.progress import Stopped

if TYPE_CHECKING:
    from collections.abc import Callable

    from shopclock.record.file.copy_files import Copy
    from shopclock.record.press.record import Record
    from shopclock.screens.long_work.runner import WorkRunner
    from shopclock.views.dialogs import Dialogs

DAMAGED = "The record is damaged. Close the window and start again: a copy is offered."
SHORT = "There was no copy of the record this time: see Shop, Copies."
ELSEWHERE = "The copy of the record lies beside it this time: see Shop, Copies."


class Keeping:
    """Has copies made beside the window's work. What goes wrong is said once in the strip and stands on the page."""

    def __init__(
        self,
        record: Record,
        dialogs: Dialogs,
        background: WorkRunner,
        say: Callable[[str], None],
        bring_back: Callable[[Path], None],
        open_other: Callable[[Path], None],
    ) -> None:
        self.record = record
        self.dialogs = dialogs
        self.bring_back = bring_back
        self.open_other = open_other
        self._background = background
        self._say = say
        self._said = ""
        self._seen_us = 0
        self._running = False
        self._changed: Callable[[], None] | None = None

    def on_change(self, call: Callable[[], None]) -> None:
        """Call this when there is another copy, or a trouble with one."""
        self._changed = call

    def look(self) -> None:
        """Have a copy made where the maker has pressed since the last look and one is due."""
        if self._running or self.record.heard_us == self._seen_us:
            self._say("")
            return
        self._seen_us = self.record.heard_us
        self._run(COPYING, keep_copy_if_due, lambda _: None, lambda _: None)

    def copy_now(self) -> None:
        """Make a copy and say where it is; a second press meanwhile does nothing."""
        if not self._running:
            self._run(COPYING, keep_copy, self._tell, lambda error: self.dialogs.tell(str(error)))

    def archive(self, *, for_others: bool = False) -> None:
        """Write the whole record as one open archive among the copies, and say where it is.

        `for_others`: without customers, prices, costs and rates.
        """
        if not self._running:
            task = archive_for_others if for_others else archive_beside
            self._run(ARCHIVING, task, self._tell_archive, lambda error: self.dialogs.tell(str(error)))

    def unarchive(self, archive: Path, into: Path, then: Callable[[], None]) -> None:
        """Make a new record of an archive."""

        def wrong(error: BaseException) -> None:
            if not isinstance(error, Stopped):
                self.dialogs.tell(str(error))

        self._background.run_long(UNARCHIVING, unarchive, (archive, into), lambda _: then(), wrong)

    def archives(self) -> list[ArchiveFile]:
        """The archives that lie where copies do, the newest first."""
        folders = {copy_files.usual_folder(self.record.path), self.folder}
        found = (archive for folder in folders for archive in archives_in(folder))
        return sorted(found, key=lambda archive: archive.at_us, reverse=True)

    def copies(self) -> list[Copy]:
        """The copies that can be reached, the newest first."""
        return copy_files.copies_of(self.record.path)

    @property
    def folder(self) -> Path:
        """Folder that copies are to go to."""
        chosen = copy_files.read_keeps(self.record.path).folder
        return Path(chosen) if chosen else copy_files.usual_folder(self.record.path)

    @property
    def trouble(self) -> str:
        """Trouble with the last copy, or nothing."""
        return copy_files.read_keeps(self.record.path).trouble

    def choose(self, folder: Path | None) -> None:
        """Have the copies go to a folder from now on, or beside the record again."""
        keeps = copy_files.read_keeps(self.record.path)
        try:
            chosen = replace(keeps, folder=str(folder) if folder is not None else "", trouble="")
            copy_files.write_keeps(self.record.path, chosen)
        except OSError as error:
            self.dialogs.tell(f"That can't be kept: {error.strerror}. Copies go where they went before.")

    def preview(self, copy: Path, then: Callable[[Lost | None], None]) -> None:
        """Work out what bringing a copy back would lose."""
        self._background.run(lost, (self.record.path, copy), then, lambda error: self.dialogs.tell(str(error)))

    def _run(
        self,
        words: str,
        task: Callable[..., CopyMade | None],
        then: Callable[[CopyMade | None], None],
        failed: Callable[[BaseException], None],
    ) -> None:
        self._running = True

        def done(made: CopyMade | None) -> None:
            self._ended(ELSEWHERE if made is not None and made.trouble else "")
            then(made)

        def wrong(error: BaseException) -> None:
            if isinstance(error, Stopped):
                self._ended(self._said)
                return
            self._ended(DAMAGED if isinstance(error, Damaged) else SHORT)
            failed(error)

        self._background.run_long(words, task, (self.record.path, self.record.instant()), done, wrong)

    def _ended(self, trouble: str) -> None:
        self._running = False
        if trouble != self._said:
            self._said = trouble
            self._say(trouble)
        if self._changed is not None:
            self._changed()

    def _tell_archive(self, made: CopyMade | None) -> None:
        if made is not None:
            self.dialogs.tell(f"The archive is {made.path.name}, in {made.path.parent}.")

    def _tell(self, made: CopyMade | None) -> None:
        if made is None:
            self.dialogs.tell("The newest copy has all there is.")
        else:
            self.dialogs.tell(f"{made.trouble} The copy is in {made.path.parent}.".strip())
