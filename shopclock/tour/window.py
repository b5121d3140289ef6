"""The window that a tour draws, and the clock that stands still in it."""

from __future__ import annotations

from dataclasses import dataclass

from shopclock.shop.clock import Moment

MINUTE_US = 60_000_000


@dataclass(frozen=True, slots=True)
class Window:
    """A window to draw: its size in pixels, pixels per millimetre of its screen, theme and button size."""

    width: int
    height: int
    px_mm: float
    theme: str
    size: str = "hands"

    @property
    def name(self) -> str:
        """How its pictures are named: 1280x800-dark, 1024x600-paper-gloves."""
        tail = "-gloves" if self.size == "gloves" else ""
        return f"{self.width}x{self.height}-{self.theme}{tail}"


class StoppedClock:
    """A clock that goes on only when it is told to."""

    def __init__(self, at_us: int) -> None:
        self._at_us = at_us

    def moment(self) -> Moment:
        """What it says."""
        return Moment(self._at_us, self._at_us, self._at_us, "tour", 0)

    def go_on(self, minutes: float) -> None:
        """Let time pass."""
        self._at_us += round(minutes * MINUTE_US)
