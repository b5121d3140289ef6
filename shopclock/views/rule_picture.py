"""A rule of days or of prices with what is told along it, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.chart_scale import Tick


@dataclass(frozen=True, slots=True)
class RuleMark:
    """A place on a rule and its words: colour role, and whether it is the one that the sentence names."""

    at: float
    text: str
    role: str = "quiet"
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Reach:
    """From where to where something lies on a rule; a thin one is the less likely rest of it."""

    low: float
    high: float
    thin: bool = False


@dataclass(frozen=True, slots=True)
class RulePicture:
    """A rule from `first` to `last`: ticks along it, reaches on it, posts over it, marks under it.

    The words that matter most come first in `posts` and `marks`: where there is little room the others go. `heading`
    stands above; before there is an answer it may be all there is, and the room of the rest is kept: `over` and `under`
    are how many levels of words there are at most.
    """

    first: float = 0.0
    last: float = 1.0
    ticks: tuple[Tick, ...] = ()
    heading: str = ""
    reaches: tuple[Reach, ...] = ()
    posts: tuple[RuleMark, ...] = ()
    marks: tuple[RuleMark, ...] = ()
    over: int = 1
    under: int = 1

    @property
    def spoken(self) -> str:
        """All of it in words, from left to right."""
        said = sorted((*self.posts, *self.marks), key=lambda mark: mark.at)
        return "; ".join(part for part in (self.heading, *(mark.text for mark in said)) if part)


@dataclass(frozen=True, slots=True)
class PlacedLabel:
    """Where a label stands: its left edge in px, and its level, 0 next to the line."""

    left: float
    level: int


def place_labels(
    places: Sequence[tuple[float, float]], room: float, levels: int, gap: float
) -> list[PlacedLabel | None]:
    """Place labels of (x, width) px beside uprights at x, in a room so wide, on so many levels at most.

    No label meets another or an upright that passes it. Where all can't stand, the last ones of the list have none, and
    are only marks next to the line.
    """
    for n in range(len(places), 0, -1):
        bare = [x for x, _ in places[n:]]  # marks without words
        for most in range(1, levels + 1):
            found = _placed(places[:n], room, most, gap, bare, [])
            if found is not None:
                return [*found, *[None] * (len(places) - n)]
    return [None] * len(places)


def _placed(
    places: Sequence[tuple[float, float]],
    room: float,
    levels: int,
    gap: float,
    bare: Sequence[float],
    found: list[PlacedLabel],
) -> list[PlacedLabel] | None:
    """Place the next label in each way that there is until the rest can stand too."""
    if len(found) == len(places):
        return found
    x, wide = places[len(found)]
    for level in range(levels):
        for left in (x + gap, x - gap - wide):
            one = PlacedLabel(left, level)
            if left < 0 or left + wide > room or _meets(places, found, one, gap):
                continue
            if level == 0 and any(left - gap < other < left + wide + gap and abs(other - x) > gap for other in bare):
                continue
            whole = _placed(places, room, levels, gap, bare, [*found, one])
            if whole is not None:
                return whole
    return None


def _meets(places: Sequence[tuple[float, float]], found: Sequence[PlacedLabel], one: PlacedLabel, gap: float) -> bool:
    """Tell whether a label meets one of those found, or an upright of theirs, or its own upright one of them."""
    x, wide = places[len(found)]
    for (other_x, other_wide), other in zip(places, found, strict=False):
        apart = one.left + wide + gap <= other.left or other.left + other_wide + gap <= one.left
        if one.level == other.level and not apart:
            return True
        if other.level >= one.level and one.left - gap < other_x < one.left + wide + gap:
            return True
        if one.level >= other.level and other.left - gap < x < other.left + other_wide + gap:
            return True
    return False
