"""Layout of half a Bench: one maker's plate over all of its width, what is pressed below it in two rows."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import ceil
from typing import TYPE_CHECKING

from shopclock.screens.bench.layout import (
    CORNER,
    LOW_MM,
    SHOP_WORK,
    WEIGHTS,
    BenchLayout,
    Content,
    PlateLayout,
    SideLayout,
    Tiles,
    is_whole,
    plate_layout,
    share_row,
)
from shopclock.screens.bench.state import Verb
from shopclock.views.fit import TIGHT
from shopclock.views.rect import Rect

if TYPE_CHECKING:
    from shopclock.views.button import Button
    from shopclock.views.metrics import Sizes

UPPER = (Verb.STOP, Verb.CARRY_ON, Verb.NEXT, Verb.DONE, Verb.THROUGH)
"""What stands in the upper of the two rows: it is pressed most."""
NEXT = 44
"""The weight of *Next*: what it says takes more room than on the whole of a Bench."""
ROWS = 5
"""The top row is lower where the half is not as high as so many touch targets."""
OTHER = 16
"""The weight of the way to the whole route and of the one to the pieces, in the lower row."""
TILE_ROWS = 2


@lru_cache(maxsize=64)
def half_layout(
    area: Rect, sizes: Sizes, content: Content, tops: int, tiles: Tiles | None, bottom: tuple[str, ...]
) -> BenchLayout:
    """Return the places of half a Bench with so many buttons at the top and tiles below the plate (None: no route).

    Tiles stand in rows between plate and buttons, as many as leave the plate its clock and its letters.
    """
    gap, touch = sizes.gap, sizes.touch
    head = touch if area.h >= ROWS * touch else sizes.px(LOW_MM)
    top = share_row(Rect(area.x, area.y, area.w, head), [SHOP_WORK, *[1.0] * (tops - 2), SHOP_WORK], gap, touch)
    low = Rect(area.x, area.bottom - touch, area.w, touch)
    high = Rect(area.x, low.y - gap - touch, area.w, touch)
    route = [OTHER] if tiles is not None else []
    upper = [n for n, verb in enumerate(bottom) if verb in UPPER]
    lower = [n for n, verb in enumerate(bottom) if verb not in UPPER]
    above = share_row(high, [NEXT if bottom[n] == Verb.NEXT else WEIGHTS[bottom[n]] for n in upper], gap, touch)
    below = share_row(low, [*(WEIGHTS.get(bottom[n], OTHER) for n in lower), *route], gap, touch)
    places = dict(zip((*upper, *lower), (*above, *below), strict=False))
    row = tuple(places[n] for n in range(len(bottom)))
    middle = Rect(area.x, area.y + head + gap, area.w, high.y - 2 * gap - area.y - head)
    columns = max(1, (area.w + gap) // (2 * touch + gap))
    most = min(TILE_ROWS, ceil(tiles.number / columns)) if tiles is not None else 0
    tried = []
    for rows in range(most, -1, -1):
        plate = Rect(middle.x, middle.y, middle.w, middle.h - rows * (touch + gap))
        tried.append((rows, plate, _on_plate(plate, sizes, content)))
    rows, plate, found = next((one for one in tried if _keeps(one[2], sizes, content)), tried[-1])
    if tiles is None:
        return BenchLayout(top, plate, found, None, row)
    side = _tiles(Rect(middle.x, plate.bottom + gap, middle.w, rows * (touch + gap)), sizes, tiles, (columns, rows))
    return BenchLayout(top, plate, found, SideLayout(None, side[0], below[-1], side[1]), row)


def _on_plate(plate: Rect, sizes: Sizes, content: Content) -> PlateLayout:
    """Return the best layout of the plate: what gives way are letters, then the method, behind Adjust."""
    fewer = replace(content, letters=0)
    last = replace(fewer, picks=0) if content.clock else replace(fewer, tools=0)
    tried = (content, fewer, last, replace(fewer, picks=0, tools=0))
    made = [found for one in tried if (found := plate_layout(plate, sizes, one)) is not None]
    whole = [found for found in made if is_whole(found, sizes, content)]
    if whole or made:
        return (whole or made)[0]
    name = Rect(plate.x + CORNER, plate.y + CORNER, plate.w - 2 * CORNER, round(sizes.stage_text * TIGHT) + 1)
    return PlateLayout(
        name, None, None, Rect(name.x, name.bottom, name.w, plate.bottom - CORNER - name.bottom), None, ()
    )


def with_use(bottom: tuple[Button, ...]) -> tuple[Button, ...]:
    """Return the buttons along the bottom that have a place on a half: a Put back only where it puts something back."""
    return tuple(button for button in bottom if button.verb != Verb.PUT_BACK or button.enabled)


def _keeps(found: PlateLayout, sizes: Sizes, content: Content) -> bool:
    return is_whole(found, sizes, content) and (found.letters is not None or not content.letters)


def _tiles(
    area: Rect, sizes: Sizes, tiles: Tiles, grid: tuple[int, int]
) -> tuple[tuple[Rect, ...], tuple[tuple[int, Rect], ...]]:
    """Return the places of as many tiles as there are rows for, and of their corners."""
    gap, touch, (columns, rows) = sizes.gap, sizes.touch, grid
    number = min(tiles.number, columns * rows)
    if not number:
        return (), ()
    used = min(columns, ceil(number / rows))
    wide = (area.w - (used - 1) * gap) // used
    places = [
        Rect(area.x + n % used * (wide + gap), area.y + n // used * (touch + gap), wide, touch) for n in range(number)
    ]
    corners = []
    for n in tiles.corners:
        if n < number and wide >= 2 * touch + gap:
            place = places[n]
            corners.append((n, Rect(place.right - touch, place.y, touch, place.h)))
            places[n] = Rect(place.x, place.y, place.w - touch - gap, place.h)
    return tuple(places), tuple(corners)
