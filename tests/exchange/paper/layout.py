"""What must hold of every page, whatever stands on it."""

from __future__ import annotations

from itertools import combinations
from typing import NamedTuple

from shopclock.exchange.paper.page import MARGIN_MM, Box, Line, PaperPage, Text, width_mm

HAIR_MM = 0.02
ABOVE, BELOW = 0.40, 0.58
"""How far letters reach from the middle of their line, in sizes: capitals of Inter and what hangs under the line."""


class Rect(NamedTuple):
    left: float
    top: float
    right: float
    bottom: float


def ink(text: Text) -> Rect:
    """Where the letters of a text are."""
    wide = width_mm(text.text, text.size_mm)
    left = text.x_mm + (text.width_mm - wide) * text.across
    middle = text.y_mm + text.height_mm / 2
    return Rect(left, middle - ABOVE * text.size_mm, left + wide, middle + BELOW * text.size_mm)


def _place(item: Text | Line | Box) -> Rect:
    if isinstance(item, Text):
        return ink(item)
    if isinstance(item, Line):
        xs, ys = sorted((item.x_mm, item.to_x_mm)), sorted((item.y_mm, item.to_y_mm))
        return Rect(xs[0], ys[0], xs[1], ys[1])
    return Rect(item.x_mm, item.y_mm, item.x_mm + item.width_mm, item.y_mm + item.height_mm)


def beyond_the_margin(page: PaperPage) -> list[Text | Line | Box]:
    """What leaves the part of a page that every printer reaches."""
    right, bottom = page.size.width_mm - MARGIN_MM, page.size.height_mm - MARGIN_MM
    return [
        item
        for item in page.items
        if (at := _place(item)).left < MARGIN_MM - HAIR_MM
        or at.top < MARGIN_MM - HAIR_MM
        or at.right > right + HAIR_MM
        or at.bottom > bottom + HAIR_MM
    ]


def wider_than_their_place(page: PaperPage) -> list[Text]:
    """Texts that don't fit between their sides."""
    return [
        item
        for item in page.items
        if isinstance(item, Text) and width_mm(item.text, item.size_mm) > item.width_mm + HAIR_MM
    ]


def over_each_other(page: PaperPage) -> list[tuple[str, str]]:
    """Texts of which one covers a part of the other."""
    inks = [(item.text, ink(item)) for item in page.items if isinstance(item, Text)]
    return [(one, other) for (one, a), (other, b) in combinations(inks, 2) if _meet(a, b)]


def _meet(a: Rect, b: Rect) -> bool:
    wide = min(a.right, b.right) - max(a.left, b.left)
    high = min(a.bottom, b.bottom) - max(a.top, b.top)
    return wide > HAIR_MM and high > HAIR_MM


def assert_sound(page: PaperPage) -> None:
    """Nothing leaves the page, no text leaves its place or covers another."""
    assert beyond_the_margin(page) == []
    assert wider_than_their_place(page) == []
    assert over_each_other(page) == []
    assert page.texts
