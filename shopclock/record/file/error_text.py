"""Errors of disk and SQLite as sentences for the maker."""

import errno
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa

from shopclock.shop.values.errors import ShopError


class Damaged(ShopError):
    """The record can't be read as one any more: a copy may take its place."""


class Undecodable(ValueError):
    """Row or line of the record that can't be read as what it should be; `table` is that of its kind."""

    def __init__(self, table: str) -> None:
        super().__init__(f"A row of {table} can't be read.")
        self.table = table


class Unsound(Damaged):
    """The record can be read, and what it holds doesn't hold together: its journal makes another."""

    def __init__(self, path: Path, wrong: str) -> None:
        super().__init__(
            f"The record {path} doesn't hold together: {wrong} Nothing was changed. Bring back a copy, keep this file."
        )
        self.path = path
        self.wrong = wrong

    def __reduce__(self) -> tuple[type["Unsound"], tuple[Path, str]]:
        return Unsound, (self.path, self.wrong)  # it comes from another process


DOES_NOT_FIT = (
    LookupError, ValueError, TypeError, AttributeError, ArithmeticError, AssertionError, RecursionError,
    sa.exc.StatementError,
)  # fmt: skip
"""Errors that reading and working out raise where rows don't fit each other."""


class DiskFailed(ShopError):
    """The disk didn't read or write what it was asked to, for a moment or for good; the record may be sound."""


_NO_TEXT = "Could not decode to UTF-8"


class NoRoom(ShopError):
    """The disk has no room for what was to be written."""


def sentence(path: Path, said: str) -> str:
    """Say what happened to the record at a path, what was kept and what to do."""
    for sign, words in _SENTENCES:
        if sign in said:
            return words.format(path=path)
    return f"The record {path} can't be used ({said}). What was shown is kept."


_SENTENCES = (
    ("locked", "The record {path} is in use by another program. Close it there, then try again."),
    ("full", "The disk of {path} is full. The last press was not kept, all before is. Make room."),
    ("readonly", "The record {path} may only be read. Nothing was changed. Allow writing to it."),
    ("unable to open", "{path} can't be opened or made. Check the folder and who may write in it."),
    ("malformed", "The record {path} is damaged. Nothing was changed. Bring back a copy, keep this file."),
    (
        _NO_TEXT,
        "The record {path} is damaged: a text in it is none. Nothing was changed. Bring back a copy, keep this file.",
    ),
    ("not a database", "{path} is not a record of this program. Nothing was changed."),
)
FAILED = "The disk of {path} can't be read or written just now. Nothing was changed. Look at its plug, then try again."
NO_ROOM = "The disk of {path} is full: it can't be opened. Nothing was changed. Make room."
_BROKEN = (
    errno.EIO, errno.ENXIO, errno.ENODEV, errno.ENOTCONN, errno.ESTALE, errno.ETIMEDOUT, errno.EHOSTDOWN,
)  # fmt: skip
"""A device that doesn't answer; a share that is gone."""


@contextmanager
def error_text(path: Path) -> Iterator[None]:
    """Turn what the disk and SQLite say into a sentence for the maker."""
    try:
        yield
    except (sa.exc.IntegrityError, sa.exc.ProgrammingError):
        raise  # our own mistake, not the disk's
    except Undecodable as error:
        raise Unsound(path, str(error)) from error
    except sa.exc.DBAPIError as error:
        raise error_of(path, error.orig or error) from error
    except sqlite3.DatabaseError as error:
        raise error_of(path, error) from error
    except UnicodeDecodeError as error:  # SQLite quotes what it can't read of its tables, bytes that are no text too
        raise Damaged(sentence(path, "malformed")) from error
    except OSError as error:
        if failed(error):
            raise DiskFailed(FAILED.format(path=path)) from error
        raise ShopError(f"{path} can't be used: {error.strerror}. Nothing was changed.") from error


def error_of(path: Path, error: BaseException) -> ShopError:
    """Return what SQLite said of a record as an error for the maker."""
    if failed(error) or _failed_to_open(path, error):
        return DiskFailed(FAILED.format(path=path))
    said = str(error)
    if has_no_room(error):
        opening = getattr(error, "sqlite_errorcode", 0) == sqlite3.SQLITE_IOERR_SHMSIZE
        return NoRoom(NO_ROOM.format(path=path) if opening else sentence(path, said))
    damaged = any(sign in said for sign in ("malformed", "not a database", _NO_TEXT))
    return (Damaged if damaged else ShopError)(sentence(path, said))


def _failed_to_open(path: Path, error: BaseException) -> bool:
    """Tell whether SQLite could not open what is there and may be written: it doesn't say that the disk was why."""
    if getattr(error, "sqlite_errorcode", 0) & 0xFF != sqlite3.SQLITE_CANTOPEN:
        return False
    try:
        return path.is_file() and os.access(path, os.R_OK | os.W_OK) and os.access(path.parent, os.W_OK)
    except OSError as found:
        return failed(found)


def has_no_room(error: BaseException) -> bool:
    """Tell whether an error is that a disk is full."""
    if isinstance(error, OSError):
        return error.errno in (errno.ENOSPC, errno.EDQUOT)
    code = getattr(error, "sqlite_errorcode", 0)
    return isinstance(error, NoRoom) or code in (sqlite3.SQLITE_FULL, sqlite3.SQLITE_IOERR_SHMSIZE)


def failed(error: BaseException) -> bool:
    """Tell whether an error is of the disk itself, and not of what lies on it."""
    if isinstance(error, OSError):
        return error.errno in _BROKEN
    code = getattr(error, "sqlite_errorcode", 0)
    return bool(code & 0xFF == sqlite3.SQLITE_IOERR and code != sqlite3.SQLITE_IOERR_SHMSIZE)
