"""A rule of days or of prices with what is told along it, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

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
    """Place of a label: its left edge in px, and its level, 0 next to the line."""

    left: float
    level: int


EXACT = 4
"""So many labels are placed in the best way together; each further one where there is room left."""

Placed = tuple[float, float, PlacedLabel]
"""A label's upright and width, px, and where it stands."""


def place_labels(
    places: Sequence[tuple[float, float]], room: float, levels: int, gap: float
) -> list[PlacedLabel | None]:
    """Place labels of (x, width) px beside uprights at x, in a room so wide, on so many levels at most.

    No label meets another or an upright that passes it. Where all can't stand, the last ones of the list have none, and
    are only marks next to the line.
    """
    found = _together(places, room, levels, gap)
    told: list[PlacedLabel | None] = [one for _, _, one in found]
    for number in range(len(found), len(places)):
        x, wide = places[number]
        bare = [other for other, _ in places[number + 1 :]]
        bare += [places[i][0] for i in range(number) if told[i] is None]
        one = next((way for way in _ways(x, wide, room, levels, gap) if _stands(x, wide, way, found, bare, gap)), None)
        told.append(one)
        if one is not None:
            found.append((x, wide, one))
    return told


def _together(places: Sequence[tuple[float, float]], room: float, levels: int, gap: float) -> list[Placed]:
    """Place as many of the first ones as can stand together, on as few levels as there can be."""
    for n in range(min(EXACT, len(places)), 0, -1):
        bare = [x for x, _ in places[n:]]  # marks that have no words yet
        for most in range(1, levels + 1):
            found = _search(places[:n], room, most, gap, bare, [])
            if found is not None:
                return found
    return []


def _search(
    places: Sequence[tuple[float, float]],
    room: float,
    levels: int,
    gap: float,
    bare: Sequence[float],
    found: list[Placed],
) -> list[Placed] | None:
    """Place the next label in each way that there is until the rest can stand too."""
    if len(found) == len(places):
        return found
    x, wide = places[len(found)]
    for way in _ways(x, wide, room, levels, gap):
        if _stands(x, wide, way, found, bare, gap):
            whole = _search(places, room, levels, gap, bare, [*found, (x, wide, way)])
            if whole is not None:
                return whole
    return None


def _ways(x: float, wide: float, room: float, levels: int, gap: float) -> Iterator[PlacedLabel]:
    """Yield the places of a label within the room: right of its upright, left of it, then a level higher."""
    for level in range(levels):
        for left in (x + gap, x - gap - wide):
            if left >= 0 and left + wide <= room:
                yield PlacedLabel(left, level)


def _stands(
    x: float, wide: float, one: PlacedLabel, found: Sequence[Placed], bare: Sequence[float], gap: float
) -> bool:
    """Tell whether a label meets none of those found, no upright and no mark; nor its own upright one of them."""
    left, right = one.left - gap, one.left + wide + gap
    if one.level == 0 and any(left < other < right and abs(other - x) > gap for other in bare):
        return False
    for other_x, other_wide, other in found:
        apart = right <= other.left or other.left + other_wide + gap <= one.left
        passed = other.level >= one.level and left < other_x < right
        passes = one.level >= other.level and other.left - gap < x < other.left + other_wide + gap
        if (one.level == other.level and not apart) or passed or passes:
            return False
    return True
