"""Guard of an open record: whether what lies at its place is what was opened, as this program left it.

A press pays a few looks at names (`os.stat`) and one at the newest press. Only where something differs it is looked
into the file, and what SQLite itself reads there decides: the shop's UUID, and the newest press.
"""

from __future__ import annotations

import os
import sqlite3
import time
import zlib
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from shopclock.record.file import schema
from shopclock.record.file.engine import connect_alone, connect_reader, driver_of, log_of, raw
from shopclock.record.file.error_text import DiskFailed, error_text, failed
from shopclock.record.file.identity import HEAD, Identity, Left, left_at, name_now, read_head, read_through, words_of
from shopclock.record.file.session import NONE, Newest, Session, newest_of, presses_after
from shopclock.shop.values.errors import ShopError

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    import sqlalchemy as sa

    from shopclock.record.file.session import Pressed

FULL_LOG = 4_000 * 4_096
"""Bytes of log from which SQLite writes it into the file within a press: `wal_autocheckpoint`."""
PAUSES_S = (0.0, 0.05, 0.25)
"""Before each try to settle whether a press that failed is kept."""


class Away(StrEnum):
    """Reason why nothing can be kept in the file at a record's place."""

    GONE = "gone"
    OTHER = "other"  # the file of another shop, another program, another state of the shop
    OLDER = "older"  # an older state of this shop
    WRITTEN = "written"  # this shop, with presses that are not this program's
    SPOILT = "spoilt"  # its bytes, or those of its log, were changed
    FAILS = "fails"  # the disk doesn't answer


@dataclass(frozen=True, slots=True)
class Trouble:
    """Trouble with the file: why, the name that the record has now, the instant of the newest press in its place."""

    why: Away
    name: Path | None = None
    newest_us: int = 0


class NotInPlace(ShopError):
    """The record isn't at its place any more: nothing can be kept there."""


class Unsettled(NamedTuple):
    """A press of which nobody knows whether the disk has it: its UUID, and what it is called."""

    uuid: str
    what: str


class Guard:
    """Guard of the record at a path, which is open to be written by an engine.

    `trouble` is what is wrong with the file now; `unsettled` a press that may be kept or not; `told` what came of it.
    `session` holds the presses since the opening. `kept` is called with each press that is on disk, `found` when one
    finds the record away, `adopted` when another file is gone on with, which holds all.
    """

    def __init__(self, path: Path, engine: sa.Engine) -> None:
        self.path = path
        self.trouble: Trouble | None = None
        self.unsettled: Unsettled | None = None
        self.told = ""
        self.kept: Callable[[Pressed], None] = lambda _: None
        self.found: Callable[[], None] = lambda: None
        self.adopted: Callable[[], object] = lambda: None
        self.engine = engine
        self._log = log_of(Path(os.path.realpath(path)))
        self._seen: tuple[Left | None, Left | None] | None = None
        self._left: tuple[Left | None, Left | None] = (None, None)
        self._sum: int | None = None
        with error_text(path), engine.connect() as connection:
            self.session = Session(newest_of(driver_of(connection)))
            self._shop = _shop_in(driver_of(connection))
        self.note()

    @property
    def left(self) -> str:
        """State of the file as it was left, in words for the sign of life."""
        return words_of(self._left[0])

    @property
    def shop_uuid(self) -> str:
        """UUID of the shop; empty while a new record has none."""
        with suppress(sqlite3.Error):
            self._shop = self._shop or _shop_in(raw(self.engine))
        return self._shop

    @property
    def identity(self) -> Identity | None:
        """Identity of the file that was opened."""
        return self._left[0].identity if self._left[0] is not None else None

    def note(self) -> None:
        """Note how this program leaves file and log: whatever else changes them is somebody else's doing."""
        with error_text(self.path):
            self._leave((left_at(self.path), left_at(self._log)))

    def _leave(self, left: tuple[Left | None, Left | None]) -> None:
        if left[0] != self._left[0]:
            self._sum = None
        self._left = left

    def note_bytes(self) -> None:
        """Note the sum of the file's bytes where that isn't done: while nobody presses, for it reads all of them."""
        if self._sum is None and self.look() is None:
            self._sum = self._bytes_of()

    def _bytes_of(self) -> int | None:
        """Return a sum of all bytes of the file alone; nothing where they can't be read.

        Only with it a file that was written over by one of the same length is told from one that was only touched:
        the log makes up for some of what an older state lacks, and what it doesn't make up for nobody misses.
        """
        found = 0
        try:
            for some in read_through(self.path):
                found = zlib.crc32(some, found)
        except OSError:
            return None
        return found

    def look(self) -> Trouble | None:
        """See whether the record is as it was left; return what is wrong. A trouble that is over is gone."""
        if self.trouble is not None and self.trouble.why is Away.FAILS and not (self._answers() or self._is_another()):
            return self.trouble
        try:
            seen = left_at(self.path), left_at(self._log)
        except OSError:
            self.trouble = Trouble(Away.FAILS)
            return self.trouble
        if seen == self._left:
            self.trouble = None
        elif self.trouble is None or seen != self._seen:  # what was looked into once is looked into when it changes
            self._seen = seen
            self.trouble = self._why(*seen)
            if self.trouble is None:
                self.note()
        return self.trouble

    def check(self) -> None:
        """NotInPlace unless the record is as it was left."""
        if self.look() is not None:
            self.found()
            raise NotInPlace(self.sentence)

    def check_kept(self) -> None:
        """NotInPlace where the press that was just written isn't at the record's place."""
        if self.trouble is not None:
            self.found()
            raise NotInPlace(f"{self._what_is_wrong} The last press is in memory alone.")

    def fails(self) -> None:
        """Note that the disk doesn't answer."""
        self.trouble = self.trouble or Trouble(Away.FAILS)

    @property
    def sentence(self) -> str:
        """Sentence that says what is wrong, and that nothing is kept there."""
        return f"{self._what_is_wrong} Nothing is kept there." if self.trouble else ""

    @property
    def _what_is_wrong(self) -> str:
        return _SENTENCES[self.trouble.why].format(path=self.path) if self.trouble else ""

    @contextmanager
    def writing(self, press: Mapping[str, Any]) -> Iterator[sa.Connection]:
        """Give the transaction of one press (its row). ShopError says that it was not kept, or that nobody knows.

        NotInPlace: the record isn't as it was left, or another program has pressed in it; nothing was written.
        """
        self.check()
        try:
            with error_text(self.path), self.engine.begin() as connection:
                plain = driver_of(connection)
                if newest_of(plain) != self.session.newest:
                    self.trouble = Trouble(Away.WRITTEN, newest_us=_newest_us(plain))
                    raise NotInPlace(self.sentence)
                yield connection
                pressed = presses_after(plain, self.session.newest)
        except DiskFailed as error:
            raise self._settle(Unsettled(press["uuid"], press["what"])) from error
        for one in pressed:
            self.session.add(one)
            self.kept(one)
        self._look_after_writing()

    def _look_after_writing(self) -> None:
        """See that what was written is at the record's place."""
        left = self._left
        try:
            self._seen = seen = left_at(self.path), left_at(self._log)
        except OSError:
            self.trouble = Trouble(Away.FAILS)
            return
        put_away = left[1] is None or max(log.size for log in (left[1], seen[1]) if log is not None) >= FULL_LOG
        same = all(now and then and now.identity == then.identity for now, then in zip(seen, left, strict=True))
        if (same or left[1] is None is seen[1]) and (seen[0] == left[0] or put_away):
            self._leave(seen)
        elif (trouble := self._why(*seen)) is not None:
            self.trouble = trouble
        else:
            self.note()

    def _settle(self, press: Unsettled) -> ShopError:
        """Find out whether a press is kept that the disk gave an error at, and return what there is to say."""
        for pause in PAUSES_S:
            time.sleep(pause)
            if self._written_over():
                self._look_after_writing()
                return ShopError(f"The disk of {self.path} gave an error. The last press was not kept, all before is.")
        self.unsettled = press
        self.trouble = Trouble(Away.FAILS)
        self.found()
        return NotInPlace(f"{_SENTENCES[Away.FAILS].format(path=self.path)} The last press may not be kept.")

    def _written_over(self) -> bool:
        """Write to the log where a press that failed has been: once that is on the disk, nothing of the press is.

        What SQLite reads says nothing of it: it would come back with the next start (WAL-Format, "Recovery").
        """
        try:
            connection = raw(self.engine)
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            connection.execute(f"PRAGMA user_version = {schema.VERSION}")
        except sqlite3.Error:
            return False
        return True

    def _answers(self) -> bool:
        """Tell whether a disk that failed works again, and settle what became of the last press."""
        if not self._written_over():
            return False
        self.trouble = None
        self._look_after_writing()
        if self.unsettled is not None:
            self.told = f"The disk works again. “{self.unsettled.what}” was not kept, all before is."
            self.unsettled = None
        return True

    def _why(self, file: Left | None, log: Left | None) -> Trouble | None:
        """Return what is wrong where file or log differ; nothing where they hold what this program wrote."""
        was, log_was = self._left
        if was is None:
            return None if file is None else Trouble(Away.OTHER)
        if file is None:
            return Trouble(Away.GONE, name_now(was.identity))
        if file.identity != was.identity:
            return self._of_other(was.identity)
        if log_was is not None and (log is None or log.identity != log_was.identity):
            return None if self._has_new_log() else Trouble(Away.SPOILT)
        if (log_was is not None and log is not None and log.size < log_was.size) or not self._has_head():
            return Trouble(Away.SPOILT)
        same = file == was or self._bytes_of() == self._sum
        found = self._compared(lambda: connect_reader(self.path), Away.SPOILT)
        return found if same or found is not None else Trouble(Away.SPOILT)

    def _has_head(self) -> bool:
        """Tell whether the file begins as SQLite's do: to look into an empty one would have it remove the log."""
        try:
            return read_head(self.path, len(HEAD)) == HEAD
        except OSError:
            return True

    def _is_another(self) -> bool:
        """Tell whether another file is at the place, such as the same one on a stick that was plugged in again."""
        try:
            found = left_at(self.path)
        except OSError:
            return False
        return found is not None and found.identity != self.identity

    def _of_other(self, opened: Identity) -> Trouble | None:
        """Return what is wrong where another file lies; it is gone on with where it holds all that was kept."""
        log, own_log = left_at(self._log), self._left[1]
        # A log that this program has open is not that of another file.
        alone = log is None or (own_log is not None and log.identity == own_log.identity)
        found = self._compared(lambda: (connect_alone if alone else connect_reader)(self.path), Away.OTHER)
        if found is not None:
            return Trouble(found.why, name_now(opened), found.newest_us)
        self.engine.dispose()
        try:
            newest = newest_of(raw(self.engine))
        except sqlite3.Error:
            return Trouble(Away.FAILS)
        if newest != self.session.newest:
            return Trouble(Away.WRITTEN)
        self.adopted()
        return None

    def _has_new_log(self) -> bool:
        """Put all of a log that has lost its name into the file, and begin another."""
        try:
            busy = raw(self.engine).execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
            self.engine.dispose()
            return not busy and newest_of(raw(self.engine)) == self.session.newest
        except sqlite3.Error:
            return False

    def _compared(self, connect: Callable[[], sqlite3.Connection], no_record: Away) -> Trouble | None:
        """Look into the file at the place: whose it is, whether it is sound, which press is its newest.

        `no_record` is what it is called where it is none of this program.
        """
        try:
            with closing(connect()) as connection:
                connection.execute("PRAGMA query_only = ON")
                if connection.execute("PRAGMA application_id").fetchone()[0] != schema.APPLICATION_ID:
                    return Trouble(no_record)
                if connection.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
                    return Trouble(Away.SPOILT)
                return self._compared_presses(connection)
        except sqlite3.DatabaseError as error:
            short = getattr(error, "sqlite_errorcode", 0) == sqlite3.SQLITE_IOERR_SHORT_READ
            return Trouble(Away.FAILS if failed(error) and not short else Away.SPOILT)

    def _compared_presses(self, theirs: sqlite3.Connection) -> Trouble | None:
        mine, newest = self.session.newest, newest_of(theirs)
        if _shop_in(theirs) != self.shop_uuid:
            return Trouble(Away.OTHER)
        if newest == mine:
            return None
        newest_us = _newest_us(theirs)
        if _has(theirs, mine):
            return Trouble(Away.WRITTEN, newest_us=newest_us)
        with suppress(sqlite3.Error):
            if not _has(raw(self.engine), newest):
                return Trouble(Away.OTHER, newest_us=newest_us)
        return Trouble(Away.OLDER, newest_us=newest_us)


_SENTENCES = {
    Away.GONE: "The record is not at {path} any more.",
    Away.OTHER: "At {path} is another file now.",
    Away.OLDER: "At {path} is an older state of the record now.",
    Away.WRITTEN: "Another program has written to {path}.",
    Away.SPOILT: "{path} was written over.",
    Away.FAILS: "The disk of {path} gives errors.",
}


def _shop_in(connection: sqlite3.Connection) -> str:
    found = connection.execute("SELECT uuid FROM shop ORDER BY id LIMIT 1").fetchone()
    return str(found[0]) if found is not None else ""


def _has(connection: sqlite3.Connection, press: Newest) -> bool:
    found = connection.execute("SELECT uuid FROM press WHERE id = ?", (press.id,)).fetchone()
    return press == NONE or (found is not None and found[0] == press.uuid)


def _newest_us(connection: sqlite3.Connection) -> int:
    found = connection.execute("SELECT at_us FROM press ORDER BY id DESC LIMIT 1").fetchone()
    return int(found[0]) if found is not None else 0
