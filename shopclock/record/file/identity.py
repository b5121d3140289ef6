"""Identity of a file, whatever its name: what it is, how it was left, and which name it has now."""

import os
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

HEAD = b"SQLite format 3\x00"
"""Beginning of each file of SQLite ("Database File Format", 1.3)."""


class Identity(NamedTuple):
    """Device and number of a file on it: the same under each of its names, another for each other file."""

    device: int
    number: int


class Left(NamedTuple):
    """State of a file as it was left: which it is, its bytes, the instant of its last change in nanoseconds."""

    identity: Identity
    size: int
    changed_ns: int


def left_at(path: Path) -> Left | None:
    """Return how the file at a path is now; nothing where there is none. OSError where the disk doesn't answer."""
    try:
        found = os.stat(path)  # noqa: PTH116  # twice a press: `Path.stat` takes as long again
    except (FileNotFoundError, NotADirectoryError):
        return None
    return Left(Identity(found.st_dev, found.st_ino), found.st_size, found.st_mtime_ns)


def words_of(left: Left | None) -> str:
    """Return the state of a file in words that hold after a restart too, in which devices get other numbers."""
    return f"{left.identity.number} {left.size} {left.changed_ns}" if left is not None else ""


def identity_of(path: Path) -> Identity | None:
    """Return which file is at a path; nothing where there is none. OSError where the disk doesn't answer."""
    found = left_at(path)
    return found.identity if found is not None else None


def _own_descriptors() -> list[int]:
    """Return the numbers under which this process has files open; none where the system doesn't tell."""
    for place in ("/proc/self/fd", "/dev/fd"):
        with suppress(OSError):
            return [int(name) for name in os.listdir(place)]  # noqa: PTH208  # names alone
    return []


def own_descriptor(identity: Identity) -> int | None:
    """Return a number under which this process has a file open, or nothing."""
    for number in _own_descriptors():
        with suppress(OSError):
            found = os.fstat(number)
            if identity == (found.st_dev, found.st_ino):
                return number
    return None


def read_head(path: Path, size: int) -> bytes:
    """Read the first bytes of a file. OSError where it can't be read.

    A file that SQLite has open in this process is read by its descriptor: closing another one would drop the locks
    that SQLite holds on the file (fcntl(2), "Advisory record locking").
    """
    if sys.platform != "win32" and (found := identity_of(path)) is not None:
        number = own_descriptor(found)
        if number is not None:
            return os.pread(number, size, 0)
    with path.open("rb") as file:
        return file.read(size)


def read_through(path: Path) -> Iterator[bytes]:
    """Yield every byte of a file, read by SQLite's own descriptor where there is one. OSError where one can't be."""
    found = identity_of(path)
    number = own_descriptor(found) if found is not None and sys.platform != "win32" else None
    if number is not None:
        at = 0
        while some := os.pread(number, _AT_ONCE, at):
            at += len(some)
            yield some
        return
    with path.open("rb") as file:
        while some := file.read(_AT_ONCE):
            yield some


_AT_ONCE = 1 << 20


def name_now(identity: Identity) -> Path | None:
    """Return the name that a file has now which this process has open; nothing where it has none, or none is told."""
    number = own_descriptor(identity)
    if number is None:
        return None
    with suppress(OSError):
        name = Path(os.readlink(f"/proc/self/fd/{number}"))  # noqa: PTH115  # a Path of it would be no name
        if identity_of(name) == identity:
            return name
    return None
