"""Marks of an axis, and labels that keep out of each other's way: plain Python."""

from __future__ import annotations

from math import ceil, floor, log10
from typing import TYPE_CHECKING

from shopclock.shop.values.habits import figure

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.chart_picture import Picture

Tick = tuple[float, str]
"""A place on an axis and what is written there."""

STEPS = (1.0, 2.0, 5.0, 10.0)


def even_ticks(top: float, most: int = 7, low: float = 0.0) -> tuple[Tick, ...]:
    """Marks from `low` up to `top`, at steps of 1, 2 or 5 times a power of ten, `most` or fewer."""
    if top <= low:
        return ((0.0, "0"),)
    rough = (top - low) / max(1, most - 1)
    power = 10.0 ** floor(log10(rough))
    step = next(step * power for step in STEPS if step * power >= rough * (1 - 1e-9))
    digits = max(0, -floor(log10(step) + 1e-9))
    first, last = ceil(low / step - 1e-9), floor(top / step + 1e-9)
    return tuple((i * step, figure(i * step, digits)) for i in range(first, last + 1))


def thinned(ticks: Sequence[Tick], widest: float, px_per_unit: float) -> tuple[Tick, ...]:
    """The marks that can be written beside each other, `widest` px each; the last one stays, names show the newest."""
    kept: list[Tick] = []
    for tick in reversed(ticks):
        if not kept or (kept[-1][0] - tick[0]) * px_per_unit >= widest:
            kept.append(tick)
    return tuple(reversed(kept))


def spread(places: Sequence[float], highs: Sequence[float], low: float, high: float) -> list[float]:
    """Move what stands at these places, so high each, apart, between `low` and `high` if it fits there.

    The order stays, and no place moves further than it must to clear those below it.
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    moved = [0.0] * len(places)
    floor_ = low
    for i in order:
        moved[i] = max(places[i], floor_ + highs[i] / 2)
        floor_ = moved[i] + highs[i] / 2
    ceiling = high
    for i in reversed(order):
        moved[i] = min(moved[i], ceiling - highs[i] / 2)
        ceiling = moved[i] - highs[i] / 2
    return moved


def widened(first: float, last: float, width: float, room: float) -> float:
    """End of an axis that is `width` px wide so that `room` px stay free to the right of `last`."""
    share = min(0.6, room / width) if width > 0 else 0.0
    return first + (last - first) / (1 - share)


def nearest(places: Sequence[tuple[float, float]], x: float, y: float, within: float) -> int | None:
    """Index of the place, px, that is nearest to a press; nothing when none is near enough."""
    apart = [((px - x) ** 2 + (py - y) ** 2) ** 0.5 for px, py in places]
    best = min(range(len(apart)), key=apart.__getitem__, default=None)
    return best if best is not None and apart[best] <= within else None


HEADROOM = 1.12
BAND_HEAD = 1.5
"""How far over the highest mark a band may reach; what is beyond is cut off, for the sake of the rest."""


def top_of(picture: Picture) -> float:
    """End of a picture's scale."""
    dots = [dot.y for series in picture.series for dot in series.dots]
    highs = [high for series in picture.series if series.band for high in series.band.highs]
    ahead = picture.ahead.high if picture.ahead else 0.0
    most = BAND_HEAD * max(*dots, ahead) if dots else float("inf")
    top = max([*dots, ahead, min(max(highs, default=0.0), most)])
    return picture.low + (HEADROOM * (top - picture.low) if top > picture.low else 1.0)
