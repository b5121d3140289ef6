"""Places of everything on Today, its columns of tiles a page at a time: plain Python."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopclock.views.fit import LINE_HEIGHT
from shopclock.views.rect import Rect

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopclock.views.metrics import Sizes


TIME_WEIGHTS = (1.0, 1.0, 1.0, 1.0, 1.3, 0.8, 0.8)
COOKING_SHARE = 0.36
UNDO, ROOMY = 1.5, 6
"""Undo is so many touch targets wide; beside what is ready where nothing cooks and there is room for so many in all."""
FEW = 3
"""So few tiles in sight are reason enough for a lower row of times."""


@dataclass(frozen=True, slots=True)
class TilePages:
    """Pages in sight of the bands, of what is ready and of what cooks, from 0."""

    bands: int = 0
    ready: int = 0
    cooking: int = 0


@dataclass(frozen=True, slots=True)
class Layout:
    """Places of everything. `bands` are the places of those from `first_band` on."""

    have: Rect
    times: tuple[Rect, ...]
    bands: tuple[Rect, ...]
    first_band: int
    band_pages: int
    more_bands: Rect | None
    ready: TileColumn
    cooking: TileColumn | None
    undo: Rect


def quiet_row(area: Rect, sizes: Sizes, answers: int) -> tuple[Rect, Rect, tuple[Rect, ...]]:
    """Room above a row at the bottom, and in the row the places of a question and of its answers."""
    gap, high = sizes.gap, sizes.touch
    top = area.bottom - high
    wide = min(2 * sizes.touch, (area.w // 2 - answers * gap) // answers)
    left = area.right - answers * (wide + gap) + gap
    places = tuple(Rect(left + n * (wide + gap), top, wide, high) for n in range(answers))
    return Rect(area.x, area.y, area.w, area.h - high - gap), Rect(area.x, top, left - gap - area.x, high), places


def today_layout(
    area: Rect,
    sizes: Sizes,
    bands: int,
    ready: Sequence[int],
    cooking: int,
    pages: TilePages = TilePages(),
    times: int = len(TIME_WEIGHTS),
) -> Layout:
    """Lay it out: so many bands, tiles in each section of what is ready, tiles that cook, buttons in the row of times.

    The row of times is as high as a touch target, unless a lower one brings one more of the first three tiles in sight.
    """
    full = _layout(area, sizes, sizes.touch, bands, ready, cooking, (pages, times))
    if len(full.ready.tiles) >= min(FEW, sum(ready)):
        return full
    low = _layout(area, sizes, min(sizes.tab, sizes.touch), bands, ready, cooking, (pages, times))
    return low if len(low.ready.tiles) > len(full.ready.tiles) else full


def _layout(
    area: Rect, sizes: Sizes, times_high: int, bands: int, ready: Sequence[int], cooking: int, of: tuple[TilePages, int]
) -> Layout:
    gap, (pages, n) = sizes.gap, of
    have, times = _times(Rect(area.x, area.y, area.w, times_high), sizes, n)
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
    left, right, undo = _with_undo(Rect(area.x, below, area.w, area.bottom - below), sizes, cooking)
    return Layout(
        have,
        times,
        places,
        page * most,
        band_pages,
        more,
        column(left, sizes, ready, pages.ready),
        column(right, sizes, [cooking], pages.cooking) if right is not None else None,
        undo,
    )


def _with_undo(area: Rect, sizes: Sizes, cooking: int) -> tuple[Rect, Rect | None, Rect]:
    """Columns, and Undo at the lower right: under what cooks where that keeps room for a tile, else beside both."""
    gap, touch = sizes.gap, sizes.touch
    left, right = _columns(area, sizes, cooking)
    low = area.bottom - touch
    if right is not None and low - gap - right.y >= heading_high(sizes) + touch:
        wide = min(round(UNDO * touch), right.w)
        return left, Rect(right.x, right.y, right.w, low - gap - right.y), Rect(area.right - wide, low, wide, touch)
    wide = round(UNDO * touch) if not cooking and area.w >= ROOMY * touch else touch
    left, right = _columns(Rect(area.x, area.y, area.w - wide - gap, area.h), sizes, cooking)
    return left, right, Rect(area.right - wide, low, wide, touch)


def _times(row: Rect, sizes: Sizes, number: int) -> tuple[Rect, tuple[Rect, ...]]:
    """The words *I have* and so many buttons beside them."""
    weights = (*TIME_WEIGHTS, *[1.0] * number)[:number]
    wide = round(sizes.title_text * 3.6)
    high = round(sizes.title_text * LINE_HEIGHT * 2) + 2
    label = Rect(row.x, row.y + max(0, row.h - high) // 2, wide, min(high, row.h))
    gap = sizes.gap
    room = row.w - wide - gap * number
    each = min(room / sum(weights), sizes.touch * 1.4)
    found, left = [], float(label.right + gap)
    for weight in weights:
        found.append(Rect(round(left), row.y, round(left + each * weight) - round(left), row.h))
        left += each * weight + gap
    return label, tuple(found)


def _columns(area: Rect, sizes: Sizes, cooking: int) -> tuple[Rect, Rect | None]:
    if not cooking:
        return area, None
    right = round((area.w - 2 * sizes.gap) * COOKING_SHARE)
    left = area.w - right - 2 * sizes.gap
    return Rect(area.x, area.y, left, area.h), Rect(area.right - right, area.y, right, area.h)


MOST = 1.15
"""How much higher than a touch target a tile becomes where there is room."""
ROWS_FOR_A_ROW = 4
"""Where so many tiles stand below each other, one of them can be the button that turns the page."""

Row = tuple[int, int | None]
"""A section, and the number of its tile; the heading where there is none."""


@dataclass(frozen=True, slots=True)
class TileColumn:
    """A page: headings by section, tiles by section and number, the button that turns the page."""

    headings: tuple[tuple[Rect, int], ...]
    tiles: tuple[tuple[Rect, int, int], ...]
    more: Rect | None
    page: int
    pages: int


def heading_high(sizes: Sizes) -> int:
    """Height of a heading, with the gap under it."""
    return round(sizes.body_text * LINE_HEIGHT) + 2 + sizes.gap // 2


def column(area: Rect, sizes: Sizes, counts: Sequence[int], page: int = 0) -> TileColumn:
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


def _placed(area: Rect, sizes: Sizes, rows: Sequence[Row], more: Rect | None, page: int, pages: int) -> TileColumn:
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
    return TileColumn(tuple(headings), tuple(places), more, page, pages)
