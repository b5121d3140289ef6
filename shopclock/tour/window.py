"""The window that a tour draws, and the clock that stands still in it."""

from __future__ import annotations

from dataclasses import dataclass

from shopclock.shop.values.clock import Moment

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
        """Name of its pictures: 1280x800-dark, 1024x600-paper-gloves."""
        tail = "-gloves" if self.size == "gloves" else ""
        return f"{self.width}x{self.height}-{self.theme}{tail}"


class StoppedClock:
    """A clock that goes on only when it is told to; another boot is another start of the machine."""

    def __init__(self, at_us: int, boot_id: str = "tour") -> None:
        self.at_us = at_us
        self._boot_id = boot_id

    def moment(self) -> Moment:
        """Text that it says."""
        return Moment(self.at_us, self.at_us, self.at_us, self._boot_id, 0)

    def go_on(self, minutes: float) -> None:
        """Let time pass."""
        self.at_us += round(minutes * MINUTE_US)
