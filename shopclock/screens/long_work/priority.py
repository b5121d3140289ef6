"""Giving way: work beside the window runs when nobody presses."""

from __future__ import annotations

import os
import sys
from contextlib import suppress

BESIDE = 10
"""How far a worker stands back, in steps of `nice`: about a tenth of a core where the window wants all of it."""
WINDOWS_BELOW_NORMAL, WINDOWS_MAY_SET = 0x4000, 0x0200


def stand_back(process: int) -> None:
    """Have a process that was just begun give way to this one: what it takes in at its start is work too.

    Where the system has no way to, it runs as this one does. On Windows untried.
    """
    if sys.platform == "win32":
        import ctypes

        kernel = getattr(ctypes, "windll").kernel32  # noqa: B009  # there on Windows alone
        if handle := kernel.OpenProcess(WINDOWS_MAY_SET, False, process):
            kernel.SetPriorityClass(handle, WINDOWS_BELOW_NORMAL)
            kernel.CloseHandle(handle)
    else:
        with suppress(OSError):  # it has ended already, or mayn't be told
            os.setpriority(os.PRIO_PROCESS, process, os.getpriority(os.PRIO_PROCESS, 0) + BESIDE)
