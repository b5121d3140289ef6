"""A file to write to that can be given up half way, without a word."""

import io
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from _typeshed import ReadableBuffer


class Target(io.BufferedWriter):
    """A file being written; `heed` is called before each write, and what it raises stops that.

    Once given up nothing reaches the disk any more and nothing complains.
    The writer of a zip archive closes it when it is thrown away, full disk or not, and would say so on the terminal.
    """

    def __init__(self, path: Path, heed: Callable[[], None] = lambda: None) -> None:
        self._given_up = False
        self._heed = heed
        self._place = 0
        super().__init__(io.FileIO(path, "w"))

    def give_up(self) -> None:
        """Let go of the file as it is; from here on only the place is kept."""
        self._given_up = True
        self.raw.close()

    def write(self, data: "ReadableBuffer", /) -> int:
        """Write, unless given up."""
        if not self._given_up:
            self._heed()
            return super().write(data)
        size = memoryview(data).nbytes
        self._place += size
        return size

    def seek(self, target: int, whence: int = 0, /) -> int:
        """Go to a place."""
        if not self._given_up:
            return super().seek(target, whence)
        self._place = target
        return target

    def tell(self) -> int:
        """Tell the place."""
        return self._place if self._given_up else super().tell()

    def flush(self) -> None:
        """Hand on what is waiting, unless given up."""
        if not self._given_up:
            super().flush()
