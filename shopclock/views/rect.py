"""A place on the screen, in whole pixels: plain Python."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Rect:
    """A place in px."""

    x: int
    y: int
    w: int
    h: int

    @property
    def right(self) -> int:
        """Right edge."""
        return self.x + self.w

    @property
    def bottom(self) -> int:
        """Lower edge."""
        return self.y + self.h

    def overlaps(self, other: Rect) -> bool:
        """True if the two have a pixel in common."""
        across = self.x < other.right and other.x < self.right
        return across and self.y < other.bottom and other.y < self.bottom

    def holds(self, other: Rect) -> bool:
        """True if the other lies within it."""
        return self.x <= other.x and self.y <= other.y and other.right <= self.right and other.bottom <= self.bottom
