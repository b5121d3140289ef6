"""Where everything on Today stands: plain Python."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.rect import Rect
from shopclock.screens.today.column import Column, column, heading_high
from shopclock.widgets.fit import LINE_HEIGHT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.widgets.metrics import Sizes

TIME_WEIGHTS = (1.0, 1.0, 1.0, 1.0, 1.3, 0.8, 0.8)
COOKING_SHARE = 0.36
FEW = 2
"""So few tiles in sight are reason enough for a lower row of times."""


@dataclass(frozen=True, slots=True)
class Pages:
    """Which page of the bands, of what is ready and of what cooks is in sight, from 0."""

    bands: int = 0
    ready: int = 0
    cooking: int = 0


@dataclass(frozen=True, slots=True)
class Layout:
    """Where everything stands. `bands` are the places of those from `first_band` on."""

    have: Rect
    times: tuple[Rect, ...]
    bands: tuple[Rect, ...]
    first_band: int
    band_pages: int
    more_bands: Rect | None
    ready: Column
    cooking: Column | None


def today_layout(
    area: Rect, sizes: Sizes, bands: int, ready: Sequence[int], cooking: int, pages: Pages = Pages()
) -> Layout:
    """Lay it out: so many bands, so many tiles in each section of what is ready, so many that cook.

    The row of times is as high as a touch target, unless a lower one brings a second tile in sight.
    """
    full = _layout(area, sizes, sizes.touch, bands, ready, cooking, pages)
    if len(full.ready.tiles) >= min(FEW, sum(ready)):
        return full
    low = _layout(area, sizes, min(sizes.tab, sizes.touch), bands, ready, cooking, pages)
    return low if len(low.ready.tiles) > len(full.ready.tiles) else full


def _layout(
    area: Rect, sizes: Sizes, times_high: int, bands: int, ready: Sequence[int], cooking: int, pages: Pages
) -> Layout:
    gap = sizes.gap
    have, times = _times(Rect(area.x, area.y, area.w, times_high), sizes)
    top = area.y + times_high + gap
    high = sizes.touch + gap
    most = max(1, (area.bottom - top - heading_high(sizes) - sizes.touch) // (high + gap))
    band_pages = max(1, -(-bands // most))
    page = pages.bands % band_pages
    shown = min(most, bands - page * most)
    turner = sizes.touch + gap if band_pages > 1 else 0
    places = tuple(Rect(area.x, top + n * (high + gap), area.w - turner, high) for n in range(shown))
    more = Rect(area.right - sizes.touch, top, sizes.touch, places[-1].bottom - top) if turner else None
    below = places[-1].bottom + gap if places else top
    left, right = _columns(Rect(area.x, below, area.w, area.bottom - below), sizes, cooking)
    return Layout(
        have,
        times,
        places,
        page * most,
        band_pages,
        more,
        column(left, sizes, ready, pages.ready),
        column(right, sizes, [cooking], pages.cooking) if right is not None else None,
    )


def _times(row: Rect, sizes: Sizes) -> tuple[Rect, tuple[Rect, ...]]:
    """The words *I have* and the buttons beside them."""
    wide = round(sizes.title_text * 3.6)
    high = round(sizes.title_text * LINE_HEIGHT * 2) + 2
    label = Rect(row.x, row.y + max(0, row.h - high) // 2, wide, min(high, row.h))
    gap = sizes.gap
    room = row.w - wide - gap * len(TIME_WEIGHTS)
    each = min(room / sum(TIME_WEIGHTS), sizes.touch * 1.4)
    found, left = [], float(label.right + gap)
    for weight in TIME_WEIGHTS:
        found.append(Rect(round(left), row.y, round(left + each * weight) - round(left), row.h))
        left += each * weight + gap
    return label, tuple(found)


def _columns(area: Rect, sizes: Sizes, cooking: int) -> tuple[Rect, Rect | None]:
    if not cooking:
        return area, None
    right = round((area.w - 2 * sizes.gap) * COOKING_SHARE)
    left = area.w - right - 2 * sizes.gap
    return Rect(area.x, area.y, left, area.h), Rect(area.right - right, area.y, right, area.h)
