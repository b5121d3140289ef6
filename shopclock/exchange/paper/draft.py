"""A page being laid out from the top down. Whatever is put on it fits its place: text is made smaller, or cut."""

from collections.abc import Sequence

from shopclock.exchange.paper.page import MARGIN_MM, Box, Fill, Line, Page, Size, Text
from shopclock.exchange.paper.widths import fitted, wrapped
from shopclock.exchange.safe_text import clean

LEAST_MM = 1.9
"""The smallest letters that are printed; what doesn't fit then is cut."""
LEADING = 1.38
"""From one line of a paragraph to the next, in sizes."""


class Draft:
    """Collects what stands on a page; `y_mm` is where the next thing goes."""

    def __init__(self, size: Size) -> None:
        self.size = size
        self.left_mm = MARGIN_MM
        self.width_mm = size.width_mm - 2 * MARGIN_MM
        self.bottom_mm = size.height_mm - MARGIN_MM
        self.y_mm = MARGIN_MM
        self._items: list[Text | Line | Box] = []

    @property
    def right_mm(self) -> float:
        """Where the margin on the right begins."""
        return self.left_mm + self.width_mm

    @property
    def room_mm(self) -> float:
        """What is left of the page's height."""
        return self.bottom_mm - self.y_mm

    def text(
        self,
        place: tuple[float, float, float, float],
        text: str,
        size_mm: float,
        *,
        bold: bool = False,
        across: float = 0.0,
    ) -> None:
        """Put a line of text in a place (left, top, width, height), no larger than it fits."""
        x, y, width, height = place
        kept = " ".join(clean(text).split())
        told, size = fitted(kept, min(size_mm, height / 1.25), min(LEAST_MM, size_mm), width)
        if told:
            self._items.append(Text(x, y, width, height, told, size, bold, across))

    def line(self, x: float, y: float, to_x: float, to_y: float, pen_mm: float = 0.2) -> None:
        """Draw a line."""
        self._items.append(Line(x, y, to_x, to_y, pen_mm))

    def box(self, place: tuple[float, float, float, float], fill: Fill = Fill.NONE, pen_mm: float = 0.2) -> None:
        """Draw a box in a place."""
        self._items.append(Box(*place, fill, pen_mm))

    def across(self, text: str, size_mm: float, *, bold: bool = False, gap_mm: float = 0.0) -> None:
        """Put a line of text over the whole width, and go on under it."""
        height = size_mm * LEADING
        self.text((self.left_mm, self.y_mm, self.width_mm, height), text, size_mm, bold=bold)
        self.y_mm += height + gap_mm

    def paragraph(self, text: str, size_mm: float, *, bold: bool = False, gap_mm: float = 0.0) -> None:
        """Put text over the whole width, on as many lines as it takes, and go on under it."""
        for line in wrapped(clean(text), size_mm, self.width_mm):
            self.across(line, size_mm, bold=bold)
        self.y_mm += gap_mm

    def height_of(self, texts: Sequence[str], size_mm: float) -> float:
        """Return what paragraphs would take of the height."""
        lines = sum(len(wrapped(clean(text), size_mm, self.width_mm)) for text in texts)
        return lines * size_mm * LEADING

    def page(self) -> Page:
        """Return the page as it is now."""
        return Page(self.size, tuple(self._items))
