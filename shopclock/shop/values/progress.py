"""Progress of long work, in words and figures, and the way to stop it."""

from typing import Protocol

from shopclock.shop.values.errors import ShopError


class Stopped(ShopError):
    """The maker stopped long work: whatever it was writing is gone again."""

    def __init__(self, said: str = "Stopped. Nothing of it is left.") -> None:
        super().__init__(said)


class Progress(Protocol):
    """Progress that long work tells, row by row."""

    @property
    def cancelled(self) -> bool:
        """True if the maker wants it to stop."""

    def at(self, done: int, of: int, words: str) -> None:
        """Say that so many rows of so many are done (of 0: nobody knows), and what is being done.

        Raises Stopped when the maker wants it to stop; the work lets that pass and leaves nothing behind.
        """


class Unwatched:
    """Work that nobody watches and nobody stops."""

    cancelled = False

    def at(self, done: int, of: int, words: str) -> None:
        """Tell nobody."""


UNWATCHED = Unwatched()
