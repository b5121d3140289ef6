"""Plain files from outside: folders, pipes, sockets and devices are refused, and no more is read than was agreed."""

import os
import stat
from pathlib import Path

from shopclock.shop.values.errors import ShopError

_KINDS = {
    stat.S_IFDIR: "a folder", stat.S_IFIFO: "a pipe", stat.S_IFSOCK: "a socket", stat.S_IFCHR: "a device",
    stat.S_IFBLK: "a device",
}  # fmt: skip
_UNWAITED = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_BINARY", 0)
"""Opening a pipe waits for somebody who writes, reading some views for something to happen: never for us."""


class NotPlain(ShopError):
    """A path leads to no plain file, but to `kind`; nothing was read of it."""

    def __init__(self, path: Path, kind: str) -> None:
        super().__init__(f"{path} is {kind}, not a file. Nothing was changed. Name a file.")
        self.path = path
        self.kind = kind

    def __reduce__(self) -> tuple[type["NotPlain"], tuple[Path, str]]:
        return NotPlain, (self.path, self.kind)  # it comes from another process


class TooLarge(ShopError):
    """A file holds more bytes than are read of one of its sort; nothing was taken of it."""

    def __init__(self, path: Path, most: int) -> None:
        self.path = path
        self.bytes = most
        self.most = f"{most / 1_000_000:g} MB"
        super().__init__(f"{path} is larger than {self.most}. Nothing was changed. Split it.")

    def __reduce__(self) -> tuple[type["TooLarge"], tuple[Path, int]]:
        return TooLarge, (self.path, self.bytes)


def refuse_unless_plain(path: Path) -> None:
    """Raise NotPlain where a path leads to something else than a file. OSError where nothing can be said of it."""
    _refuse(path, path.stat().st_mode)


def is_other_than_file(path: Path) -> bool:
    """Tell whether something stands at a path that is no plain file: nothing can be written in its place."""
    return path.exists() and not path.is_file()


def read_plain(path: Path, most: int) -> bytes:
    """Read a plain file of at most so many bytes, counted while reading: some views have no size and no end.

    NotPlain or TooLarge says why it is refused; OSError is the disk's.
    """
    refuse_unless_plain(path)
    handle = os.open(path, os.O_RDONLY | _UNWAITED)
    try:
        _refuse(path, os.fstat(handle).st_mode)  # the very file that is read: another may have taken its name
        with open(handle, "rb", closefd=False) as file:
            data = file.read(most + 1)
    finally:
        os.close(handle)
    if len(data) > most:
        raise TooLarge(path, most)
    return data


def _refuse(path: Path, mode: int) -> None:
    if not stat.S_ISREG(mode):
        raise NotPlain(path, _KINDS.get(stat.S_IFMT(mode), "something else"))
