"""Where everything stands on the Bench: plain Python, so that a test can compute that nothing is cut or overlaps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.plate_layout import Content, PlateLayout, letters_wide, plate_layout
from shopclock.views.fit import LINE_HEIGHT
from shopclock.views.metrics import CLOCK_DIGIT_MM
from shopclock.views.rect import Rect

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.metrics import Sizes

SIDE_SHARE = 0.31
"""The part of the width that the side would like."""
SHOP_WORK = 0.7
"""Shop work is this wide beside a batch."""
WEIGHTS = {"stop": 25, "carry-on": 25, "next": 36, "done": 25, "through": 25, "not-right": 16, "undo": 18}
"""How the bottom row divides its width."""


@dataclass(frozen=True, slots=True)
class SideLayout:
    """The side: its heading if it has room, its tiles, the route."""

    heading: Rect | None
    tiles: tuple[Rect, ...]
    route: Rect


@dataclass(frozen=True, slots=True)
class BenchLayout:
    """All places on the Bench, in the Bench's own pixels."""

    top: tuple[Rect, ...]
    plate: Rect
    on_plate: PlateLayout
    side: SideLayout | None
    bottom: tuple[Rect, ...]


def bench_layout(
    area: Rect, sizes: Sizes, content: Content, batches: int, tiles: int | None, bottom: Sequence[str]
) -> BenchLayout:
    """Return the places of a Bench with so many buttons at the top and tiles at the side (None: no side)."""
    gap = sizes.gap
    weights = [1.0] * batches + [SHOP_WORK]
    top = share_row(Rect(area.x, area.y, area.w, sizes.touch), weights, gap, sizes.touch)
    low = Rect(area.x, area.bottom - sizes.touch, area.w, sizes.touch)
    row = share_row(low, [WEIGHTS[key] for key in bottom], gap, sizes.touch)
    middle = Rect(area.x, area.y + sizes.touch + gap, area.w, low.y - 2 * gap - area.y - sizes.touch)
    plate, on_plate = _plate(middle, sizes, content, [0] if tiles is None else _sides(middle, sizes, content))
    if tiles is None:
        return BenchLayout(top, plate, on_plate, None, row)
    side = Rect(plate.right + gap, middle.y, middle.right - plate.right - gap, middle.h)
    return BenchLayout(top, plate, on_plate, _side(side, sizes, tiles), row)


def share_row(row: Rect, weights: Sequence[float], gap: int, least: int) -> tuple[Rect, ...]:
    """Divide a row in proportion to weights; nothing is narrower than `least` as long as there is room."""
    room = row.w - gap * (len(weights) - 1)
    widths = [room * weight / sum(weights) for weight in weights]
    lacking = sum(max(0.0, least - wide) for wide in widths)
    spare = sum(max(0.0, wide - least) for wide in widths)
    if lacking and spare >= lacking:
        widths = [max(least, wide - max(0.0, wide - least) * lacking / spare) for wide in widths]
    found, left = [], float(row.x)
    for wide in widths:
        found.append(Rect(round(left), row.y, round(left + wide) - round(left), row.h))
        left += wide + gap
    return tuple(found)


def _plate(middle: Rect, sizes: Sizes, content: Content, sides: list[int]) -> tuple[Rect, PlateLayout]:
    """Give the plate the width that its letters need, as long as the side keeps what it must have."""
    made = []
    for side in sides:
        plate = Rect(middle.x, middle.y, middle.w - (side + sizes.gap if side else 0), middle.h)
        found = plate_layout(plate, sizes, content)
        if found is not None:
            made.append((plate, found))
    if not made:
        raise ValueError(f"{sizes.width} × {sizes.height} px is too small for the Bench")
    whole = [pair for pair in made if _is_good(pair[1], sizes, content)]
    lettered = [pair for pair in whole if pair[1].letters is not None]
    return next(iter([*lettered, *whole]), max(made, key=lambda pair: pair[1].digits))


def _is_good(found: PlateLayout, sizes: Sizes, content: Content) -> bool:
    """Whether the clock, or the big button in its place, is as large as it must be."""
    if content.clock:
        return found.digits >= sizes.px_mm * CLOCK_DIGIT_MM
    return found.clock.h >= sizes.touch


def _sides(middle: Rect, sizes: Sizes, content: Content) -> list[int]:
    """Return how wide the side can be, the best first: as it likes, as the letters leave it, as it must."""
    likes = round(middle.w * SIDE_SHARE)
    must = 2 * sizes.touch + sizes.gap
    left = middle.w - 3 * sizes.gap - letters_wide(sizes, content.letters) if content.letters else likes
    between = [left] if must <= left < likes else []
    return [
        max(likes, min(must, middle.w // 2)),
        *between,
        min(must, likes),
        min(round(sizes.touch * 1.4), likes),
        sizes.touch,
    ]


def _side(side: Rect, sizes: Sizes, tiles: int) -> SideLayout:
    """Tiles first as many as fit, the whole route last, the heading where there is still room."""
    gap, touch = sizes.gap, sizes.touch
    outline = min(side.h, max(touch, round(sizes.body_text * 4.6) + 2 * gap))
    rest = side.h - outline - gap
    fit = min(tiles, max(0, (rest + gap) // (touch + gap)))
    head = round(sizes.body_text * LINE_HEIGHT) + 2
    room = rest - fit * (touch + gap) + gap >= head and side.w >= 2 * touch and (fit > 0 or not tiles)
    heading = Rect(side.x, side.y, side.w, head) if room else None
    top = side.y + (head + gap // 2 if heading is not None else 0)
    high = _tile_height(side.bottom - outline - gap - top, fit, sizes)
    places = tuple(Rect(side.x, top + n * (high + gap), side.w, high) for n in range(fit))
    return SideLayout(heading, places, Rect(side.x, side.bottom - outline, side.w, outline))


def _tile_height(room: int, count: int, sizes: Sizes) -> int:
    if not count:
        return 0
    return min(round(sizes.touch * 1.3), (room - sizes.gap * (count - 1)) // count)
