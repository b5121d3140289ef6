"""Holding an open file against other programs. The system itself lets go for a program that ends, however it ends."""

import contextlib
import os
import sys

if sys.platform == "win32":
    import msvcrt

    def hold(number: int) -> bool:
        """Hold an open file; False while another program does."""
        try:
            os.lseek(number, _BEYOND, os.SEEK_SET)
            msvcrt.locking(number, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

    _BEYOND = 1 << 30
    """A byte that nobody reads: what is held can't be read by others there."""
else:
    import fcntl

    def hold(number: int) -> bool:
        """Hold an open file; False while another program does.

        A disk that knows no such thing is told apart by OSError. (flock(2); SQLite's own locks are of another kind.)
        """
        try:
            fcntl.flock(number, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def let_go(number: int) -> None:
    """Let an open file go, and close it."""
    with contextlib.suppress(OSError):
        os.close(number)
