"""Giving way: work beside the window runs when nobody presses."""

from __future__ import annotations

import os
import sys

BESIDE = 10
"""How far a worker stands back, in steps of `nice`: about a tenth of a core where the window wants all of it."""
WINDOWS_BELOW_NORMAL = 0x4000


def give_way(steps: int) -> None:
    """Have this process give way to others by so many steps; where the system has no way to, it runs as it did."""
    if not steps:
        return
    if sys.platform == "win32":
        import ctypes

        kernel = getattr(ctypes, "windll").kernel32  # noqa: B009  # there on Windows alone
        kernel.SetPriorityClass(kernel.GetCurrentProcess(), WINDOWS_BELOW_NORMAL)
    else:
        os.nice(steps)
