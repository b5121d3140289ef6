"""A column of tiles under headings, a page at a time: plain Python."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.screens.bench.rect import Rect
from shopclock.widgets.fit import LINE_HEIGHT

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.widgets.metrics import Sizes

MOST = 1.15
"""How much higher than a touch target a tile becomes where there is room."""
ROWS_FOR_A_ROW = 4
"""Where so many tiles stand below each other, one of them can be the button that turns the page."""

Row = tuple[int, int | None]
"""A section, and the number of its tile; the heading where there is none."""


@dataclass(frozen=True, slots=True)
class Column:
    """A page: headings by section, tiles by section and number, the button that turns the page."""

    headings: tuple[tuple[Rect, int], ...]
    tiles: tuple[tuple[Rect, int, int], ...]
    more: Rect | None
    page: int
    pages: int


def heading_high(sizes: Sizes) -> int:
    """How high a heading is, with the gap under it."""
    return round(sizes.body_text * LINE_HEIGHT) + 2 + sizes.gap // 2


def column(area: Rect, sizes: Sizes, counts: Sequence[int], page: int = 0) -> Column:
    """Lay out a page of sections with so many tiles each; what doesn't fit is on the next pages."""
    pages = _pages(area.h, sizes, counts)
    if len(pages) == 1:
        return _placed(area, sizes, pages[0], None, 0, 1)
    touch, gap = sizes.touch, sizes.gap
    if area.h >= ROWS_FOR_A_ROW * (touch + gap):
        rest = Rect(area.x, area.y, area.w, area.h - touch - gap)
        more = Rect(area.x, area.bottom - touch, area.w, touch)
    else:
        rest = Rect(area.x, area.y, area.w - touch - gap, area.h)
        more = Rect(area.right - touch, area.y, touch, area.h)
    pages = _pages(rest.h, sizes, counts)
    here = page % len(pages)
    return _placed(rest, sizes, pages[here], more, here, len(pages))


def _pages(high: int, sizes: Sizes, counts: Sequence[int]) -> list[list[Row]]:
    """Fill one page after the other; each begins with the heading of its first tile."""
    pages: list[list[Row]] = [[]]
    for section, count in enumerate(counts):
        block: list[Row] = [(section, None)]
        for tile in range(count):
            block.append((section, tile))
            if pages[-1] and _needs(pages[-1] + block, sizes) > high:
                pages.append([])
                block = block if block[0][1] is None else [(section, None), *block]
            pages[-1] += block
            block = []
        if not count:
            pages[-1] += block
    return pages


def _needs(rows: Sequence[Row], sizes: Sizes) -> int:
    tiles = sum(tile is not None for _, tile in rows)
    return (len(rows) - tiles) * heading_high(sizes) + tiles * (sizes.touch + sizes.gap) - sizes.gap


def _placed(area: Rect, sizes: Sizes, rows: Sequence[Row], more: Rect | None, page: int, pages: int) -> Column:
    """Stand the rows below each other; a heading gives way where a tile alone has just room."""
    if _needs(rows, sizes) > area.h:
        rows = [row for row in rows if row[1] is not None]
    tiles = sum(tile is not None for _, tile in rows)
    spare = max(0, area.h - _needs(rows, sizes))
    high = min(round(sizes.touch * MOST), sizes.touch + spare // tiles) if tiles else 0
    headings: list[tuple[Rect, int]] = []
    places: list[tuple[Rect, int, int]] = []
    top = area.y
    for section, tile in rows:
        if tile is None:
            headings.append((Rect(area.x, top, area.w, heading_high(sizes) - sizes.gap // 2), section))
            top += heading_high(sizes)
        else:
            places.append((Rect(area.x, top, area.w, min(high, area.bottom - top)), section, tile))
            top += high + sizes.gap
    return Column(tuple(headings), tuple(places), more, page, pages)
